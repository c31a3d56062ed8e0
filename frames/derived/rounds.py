"""One round of deriving: what changed in the feed since the last one, and what follows from it."""

from collections.abc import Iterable
from uuid import UUID

from django.utils import translation

from frames import feed
from frames.derived import factors, meters, sources, undone, writing
from frames.derived.registry import DERIVATIONS, Derivation
from frames.derived.sources import Screen
from frames.models import Derived, Entry, Feed, ScreenState, Shop

ENTRIES_AT_ONCE = 500
THINGS = ("frame", "mesh", "shop")


def follow_up(since: int | None, *, anew: bool = False) -> tuple[int, int]:
    """Derive what the feed after `since` asks for (None: everything).

    Answers the place in the feed that was reached, and how many bodies were written.
    """
    with translation.override(Shop.speaks()):
        return _follow_up(since, anew)


def _follow_up(since: int | None, anew: bool) -> tuple[int, int]:
    reached = feed.head().seq
    frames = _all_frames() if since is None else _frames_since(since, reached)
    written = 0
    taught = since is None
    screens = list(sources.screens_of(frames)) if frames else []
    for derivation in DERIVATIONS:
        for screen in screens:
            is_new = writing.bring_up(derivation, screen, anew=anew)
            written += is_new
            taught |= is_new and derivation.kind == "lessons"
    if screens and taught:
        written += _of_same_mesh({str(s.mesh["id"]) for s in screens}, {s.id for s in screens})
    if since is None or frames:
        written += _forget_strays()
    return reached, written


def _all_frames() -> set[UUID]:
    return set(ScreenState.objects.values_list("frame", flat=True).distinct())


def _frames_since(since: int, reached: int) -> set[UUID]:
    """Frames that entries or things in this stretch of the feed have a say in."""
    told = Feed.objects.filter(seq__gt=since, seq__lte=reached)
    if told.filter(type="thing", kind__in=THINGS).exists():
        return _all_frames()
    found: set[UUID] = set()
    ids = list(told.filter(type="entry").values_list("object_id", flat=True))
    for start in range(0, len(ids), ENTRIES_AT_ONCE):
        part = list(Entry.objects.filter(pk__in=ids[start : start + ENTRIES_AT_ONCE]))
        found |= sources.frames_with(part) | meters.frames_read_before(part)
    refolded = told.filter(type="state", kind="frame").values_list("object_id", flat=True)
    return found | set(refolded)


def _of_same_mesh(meshes: Iterable[str], done: set[str]) -> int:
    """Screens on other frames whose factors moved with what these screens taught."""
    estimate = next(d for d in DERIVATIONS if d.kind == "estimate")
    others = ScreenState.objects.live().filter(mesh__in=list(meshes)).exclude(screen__in=done)
    homes = {state.screen: (str(state.frame), str(state.mesh)) for state in others}
    rows = Derived.objects.of_kind("estimate").filter(screen__in=list(homes))
    seen = factors.observations()
    drifted = {
        UUID(homes[row.screen][0])
        for row in rows
        if not factors.are_close(factors.learned(*homes[row.screen], seen), row.body["factors"])
    }
    return sum(_again(estimate, screen) for screen in sources.screens_of(drifted))


def _again(derivation: Derivation, screen: Screen) -> bool:
    return writing.bring_up(derivation, screen)


def _forget_strays() -> int:
    """Rows of screens that the log no longer knows, as after a voided mesh."""
    known = ScreenState.objects.values("screen")
    by_kind = {d.kind: d for d in DERIVATIONS}
    strays = Derived.objects.exclude(screen__in=known).filter(kind__in=[*by_kind, undone.KIND])
    gone = {(undone.about(row), str(row.screen)) for row in strays}
    return sum(writing.forget(by_kind[kind], of) for kind, of in gone if kind in by_kind)
