"""Which entries belong to a screen: those that name it, and those that name only its frame
while it was on it. Corrections can take an entry away or bring one in.
"""

from typing import Any

from django.db.models import Q, QuerySet

from frames.entries import corrected_ms
from frames.models import Entry, ScreenState
from frames.times import moment


def entries_of(screen: ScreenState) -> QuerySet[Entry]:
    """Every entry that was or is about this screen."""
    during = Q(frame_id=screen.frame, screen_id=None, corrected_at__gte=screen.fitted_at)
    if screen.ended_at:
        during &= Q(corrected_at__lte=screen.ended_at)
    brought_in = Entry.objects.filter(moved_to_id=screen.frame).values("target_id")
    return Entry.objects.filter(Q(screen_id=screen.pk) | during | Q(pk__in=brought_in))


def stands_on(raw: dict[str, Any], screen: ScreenState) -> bool:
    """Whether an entry, as its corrections leave it, is about this screen."""
    if raw["screen"]:
        return raw["screen"] == str(screen.pk)
    at = moment(corrected_ms(raw))
    began = at >= screen.fitted_at and raw["frame"] == str(screen.frame)
    return began and (screen.ended_at is None or at <= screen.ended_at)
