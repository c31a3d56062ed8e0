"""What the log says of one job: its OK sheets, and each stencil from coat to reclaim."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.db.models import Q, QuerySet

from frames.entries import ACTS, corrected_ms
from frames.folding import effective
from frames.models import Colour, Entry, ScreenState
from shopfloor.office.belonging import entries_of, stands_on

Raw = dict[str, Any]
# what may make a print differ from the OK sheet
CHANGES = ("bolt_turns", "register_tweak", "nipped_up", "target_set", "bolt_state", "burst")
CHANGES += ("exposed", "reclaimed", "washed", "moved", "mesh_removed")


@dataclass(frozen=True)
class Stay:
    """One stencil on one screen: from its coat until it was off, or until now."""

    colour: str
    screen: ScreenState
    entries: list[Raw]
    is_over: bool

    def since(self, moment_ms: int) -> list[Raw]:
        """What changed after a moment; readings and marks alone change nothing."""
        return [
            entry
            for entry in self.entries
            if entry["kind"] in CHANGES and corrected_ms(entry) > moment_ms
        ]


def standing(found: QuerySet[Entry]) -> list[Raw]:
    """Entries in order, as their corrections and voids leave them."""
    rows = list(found)
    brought = {row.target_id for row in rows if row.kind == "correction"}
    rows += Entry.objects.filter(pk__in=brought)
    acts = list(Entry.objects.filter(target_id__in=[r.pk for r in rows], kind__in=ACTS))
    undone = Entry.objects.filter(target_id__in=[act.pk for act in acts], kind="void")
    return effective(row.raw for row in [*rows, *acts, *undone])


def ok_sheets(job_id: UUID) -> list[Raw]:
    """Signed or sent back, oldest first."""
    told = standing(Entry.objects.filter(job_id=job_id, kind="ok_sheet"))
    return [raw for raw in told if raw["subject"]["id"] == str(job_id)]


def signed(sheets: Iterable[Raw]) -> dict[str, Raw]:
    """Colour → the last OK sheet that it is on, if that was signed."""
    last = {colour: raw for raw in sheets for colour in raw["payload"]["colours"]}
    return {colour: raw for colour, raw in last.items() if raw["payload"]["signed"]}


def stays(colours: Collection[Colour]) -> list[Stay]:
    """Every stencil that was made for these colours, or for those that they repeat."""
    wanted = {str(c.pk): str(c.pk) for c in colours}
    wanted |= {str(c.repeats_id): str(c.pk) for c in colours if c.repeats_id}
    jobs = set(Colour.objects.filter(pk__in=wanted).values_list("job_id", flat=True))
    named = Entry.objects.filter(job_id__in=jobs, kind__in=("exposed", "correction"))
    exposed = [raw for raw in standing(named) if _is_for(raw, wanted)]
    return [
        stay
        for screen in _screens_of(exposed)
        for stay in _stays_on(screen, _told_of(screen), wanted)
    ]


def _is_for(raw: Raw, wanted: Collection[str]) -> bool:
    return raw["kind"] == "exposed" and raw["payload"]["colour"] in wanted


def _screens_of(exposed: list[Raw]) -> list[ScreenState]:
    """The screens that these were about; some name only the frame."""
    named = {raw["screen"] for raw in exposed} - {None}
    frames = {raw["frame"] for raw in exposed if not raw["screen"]}
    rows = ScreenState.objects.filter(Q(pk__in=named) | Q(frame__in=frames)).order_by("fitted_at")
    return [row for row in rows if any(stands_on(raw, row) for raw in exposed)]


def _told_of(screen: ScreenState) -> list[Raw]:
    return [raw for raw in standing(entries_of(screen)) if stands_on(raw, screen)]


def _stays_on(screen: ScreenState, told: list[Raw], wanted: dict[str, str]) -> Iterable[Stay]:
    for place, raw in enumerate(told):
        if not _is_for(raw, wanted):
            continue
        end = next((n for n in range(place + 1, len(told)) if _is_off(told[n])), None)
        entries = told[_begin(told, place) : len(told) if end is None else end + 1]
        check = _last_check(told[: _begin(told, place)])
        yield Stay(
            wanted[raw["payload"]["colour"]],
            screen,
            [*check, *entries],
            end is not None,
        )


def _is_off(raw: Raw) -> bool:
    """Washing takes ink off; only reclaiming, another exposure or the end takes the stencil off."""
    scrapped = raw["kind"] == "moved" and raw["payload"]["to"] == "scrapped"
    return scrapped or raw["kind"] in ("reclaimed", "exposed", "burst", "mesh_removed")


def _begin(told: list[Raw], place: int) -> int:
    """From the coat that the stencil was made of, if it was logged."""
    before = place - 1
    while before >= 0 and told[before]["kind"] != "reclaimed":
        if told[before]["kind"] == "coated":
            return before
        before -= 1
    return place


def _last_check(told: list[Raw]) -> list[Raw]:
    return [raw for raw in told if raw["kind"] == "tension_check"][-1:]
