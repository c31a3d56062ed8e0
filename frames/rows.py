"""Writes state rows; a row goes into the feed only if its body changed."""

from collections.abc import Iterable
from typing import Any
from uuid import UUID

from django.db.models import QuerySet

from frames.feed import Change
from frames.models import Entry, FrameState, MeterState, ScreenState
from frames.times import moment, reckoned_ms

Json = dict[str, Any]
Bodies = dict[str, Json]


def frames(ids: Iterable[UUID]) -> Bodies:
    return _bodies(FrameState.objects.filter(frame__in=ids))


def meters(ids: Iterable[UUID]) -> Bodies:
    return _bodies(MeterState.objects.filter(meter__in=ids))


def screens(ids: Iterable[UUID | None]) -> Bodies:
    return _bodies(ScreenState.objects.filter(screen__in=set(ids) - {None}))


def screens_of(frame_ids: Iterable[UUID]) -> Bodies:
    return _bodies(ScreenState.objects.filter(frame__in=frame_ids))


def _bodies(found: QuerySet) -> Bodies:
    return {str(id): body for id, body in found.values_list("pk", "body")}


def write_frames(turn: Change, now: Bodies, folded_to: dict[str, Any], before: Bodies) -> None:
    """Frames move on with every entry: the row is written even where the body stays the same."""
    tell(turn, "frame", now, before)
    FrameState.objects.filter(frame__in=before.keys() - now.keys()).delete()
    FrameState.objects.put([FrameState.of(body, folded_to[id]) for id, body in now.items()])


def write_screens(turn: Change, now: Bodies, before: Bodies) -> None:
    changed = tell(turn, "screen", now, before)
    ScreenState.objects.filter(screen__in=before.keys() - now.keys()).delete()
    ScreenState.objects.put([ScreenState.of(now[id]) for id in changed])


def write_meters(turn: Change, now: Bodies, ids: list[UUID]) -> None:
    before = meters(ids)
    changed = tell(turn, "meter", now, before)
    MeterState.objects.filter(meter__in=before.keys() - now.keys()).delete()
    MeterState.objects.put([MeterState.of(now[id]) for id in changed])


def tell(turn: Change, kind: str, now: Bodies, before: Bodies) -> list[str]:
    """Put what changed into the feed, what is gone with a body of None; the ids that changed."""
    changed = [id for id, body in now.items() if before.get(id) != body]
    for id in changed:
        turn.append("state", kind, id, now[id])
    for id in before.keys() - now.keys():
        turn.append("state", kind, id, None)
    return changed


def send_again(turn: Change, told: list[Entry], screen: Json) -> None:
    """A mesh is back that phones believed gone: they need what was stored about it again.

    That is also what names it but stands before it in the order: the clock of the phone that fitted
    it may have been ahead.
    """
    mesh, fitted = UUID(screen["screen"]), moment(reckoned_ms(screen["fitted_at"]))
    for row in told:
        if row.seq <= turn.begun and (row.screen_id == mesh or row.corrected_at >= fitted):
            turn.append("entry", row.kind, row.id, row.body())
