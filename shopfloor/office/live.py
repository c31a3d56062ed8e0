"""Tells an open page whether anything changed since it was drawn."""

from django.http import HttpRequest, JsonResponse

from frames import feed
from shopfloor.auth import who_may


@who_may("screen room", "manager")
def pulse(request: HttpRequest) -> JsonResponse:
    """Where the feed stands. Two indexed reads, however long the log is."""
    head = feed.head()
    return JsonResponse({"head": f"{head.epoch}:{head.seq}"})
