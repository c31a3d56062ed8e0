"""The log of one frame further back than the phone holds it."""

from typing import Any
from uuid import UUID

from django.db.models import Q
from django.http import HttpRequest
from ninja import Query, Router

from frames.models import Entry, Frame
from frames.wording import say
from shopfloor.api.access import phone
from shopfloor.api.problems import not_found
from shopfloor.api.shapes import HistoryOut

router = Router(tags=["History"])
PAGE = 100
ORDER = ("corrected_at", "install_id", "device_seq", "pk")


@router.get("{uuid:frame_id}/entries", auth=phone, response=HistoryOut, summary="Look further back")
def entries(
    request: HttpRequest, frame_id: UUID, before: Query[UUID | None] = None
) -> dict[str, Any]:
    """Entries of a frame, newest first, `before` being the last one of the page before."""
    log = Entry.objects.of_frame(frame_id)
    if not log.exists() and not Frame.objects.filter(pk=frame_id).exists():
        raise not_found(say("Frame {0} is not known here.", frame_id))
    if before is not None:
        log = log.filter(_older_than(before))
    page = list(log.newest_first()[: PAGE + 1])
    return {
        "items": [_item(entry) for entry in page[:PAGE]],
        "next": str(page[PAGE - 1].pk) if len(page) > PAGE else None,
    }


def _older_than(entry_id: UUID) -> Q:
    """Below an entry in the total order, which many entries of one moment share a part of."""
    mark = Entry.objects.filter(pk=entry_id).first()
    if mark is None:
        raise not_found(say("Entry {0} is not known here. Begin with the newest.", entry_id))
    below, equal = Q(), Q()
    for name in ORDER:
        below |= equal & Q(**{f"{name}__lt": getattr(mark, name)})
        equal &= Q(**{name: getattr(mark, name)})
    return below


def _item(entry: Entry) -> dict[str, Any]:
    return {"type": "entry", "kind": entry.kind, "object": str(entry.pk), "body": entry.body()}
