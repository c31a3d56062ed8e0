"""Before labels of a frame are made again, somebody looks at its punch mark."""

from collections.abc import Callable, Sequence

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from frames.models import Frame

from .models import LabelPrint

SEEN = "seen"


def with_mark_checked(
    request: HttpRequest, frames: Sequence[Frame], onto: str, make: Callable[[], HttpResponse]
) -> HttpResponse:
    """The file that `make` gives; for frames that had labels before, only after the question.

    The answer comes by POST (`mark` = seen), so that going back or an old link asks again.
    """
    now, by = timezone.now(), request.user.get_username()
    earlier = LabelPrint.objects.before((frame.pk for frame in frames), by, now)
    newest = {row.frame: row for row in reversed(earlier)}
    again = [(frame, newest[frame.pk]) for frame in frames if frame.pk in newest]
    checked = request.POST.get("mark") == SEEN
    if again and not checked:
        asked = {"again": again, "unanswered": request.method == "POST"}
        return render(request, "office/labels_again.html", asked)
    made = make()
    if request.method != "HEAD":
        LabelPrint.objects.bulk_create(
            LabelPrint(
                frame=frame.pk,
                at=now,
                by_name=by,
                onto=onto,
                mark_checked=checked and frame.pk in newest,
            )
            for frame in frames
        )
    return made
