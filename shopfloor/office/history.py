"""The log as people read it: every entry stays readable, also a voided or corrected one."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from itertools import chain
from uuid import UUID

from frames.entries import ACTS, is_known
from frames.folding import effective
from frames.models import Entry
from frames.wording import mark
from frames.wording import say as phrase
from shopfloor.models import Device
from shopfloor.office.names import Names, is_uuid, told
from shopfloor.office.telling import kind_name, tell

SOURCES = {"desk": mark("office, {0}"), "import": mark("imported by {0}")}


@dataclass(frozen=True)
class Line:
    entry: Entry
    kind: str
    told: str
    who: str
    device: str
    gone: bool = False
    was: str = ""
    acts: list["Line"] = field(default_factory=list)

    @property
    def at(self) -> datetime:
        return self.entry.corrected_at

    @property
    def can_correct(self) -> bool:
        return is_known(self.entry.raw) and self.entry.kind not in ACTS and not self.gone

    @property
    def can_void(self) -> bool:
        """A void stands for good; voiding a correction brings the original back."""
        return self.entry.kind != "void" and not self.gone


class History:
    """Lines for a page of entries; looks up what they name in a fixed number of queries."""

    def __init__(
        self,
        entries: Iterable[Entry],
        step_48ths: int = 8,
        steps: Mapping[UUID | None, int] | None = None,
    ) -> None:
        """`steps` gives the step of each frame's heads where entries are of several frames."""
        self.entries = list(entries)
        self.step, self.steps = step_48ths, steps or {}
        self.acts = self._acts([entry.pk for entry in self.entries])
        targets = {e.target_id for e in self.entries if e.kind in ACTS and e.target_id}
        self.targets = Entry.objects.in_bulk(targets)
        every = [*self.entries, *self.targets.values(), *chain(*self.acts.values())]
        self.names = Names.of_entries([e.raw for e in every] + [inner(e.raw) for e in every])
        self.devices = device_names({entry.device for entry in every})

    def _acts(self, ids: list[UUID]) -> dict[UUID, list[Entry]]:
        """Corrections and voids of these entries, and voids of those corrections."""
        named: dict[UUID, list[Entry]] = defaultdict(list)
        first = list(Entry.objects.filter(target_id__in=ids, kind__in=ACTS).in_order())
        second = Entry.objects.filter(
            target_id__in=[act.pk for act in first], kind="void"
        ).in_order()
        for act in [*first, *second]:
            if act.target_id is not None:
                named[act.target_id].append(act)
        return named

    def step_of(self, entry: Entry) -> int:
        return self.steps.get(entry.frame_id, self.step)

    def lines(self) -> list[Line]:
        return [self.line(entry) for entry in self.entries]

    def line(self, entry: Entry) -> Line:
        acts = self.acts.get(entry.pk, [])
        if not acts or entry.kind in ACTS:
            return self.plain(entry)
        undone = [void.raw for act in acts for void in self.acts.get(act.pk, [])]
        stands = effective([entry.raw, *(act.raw for act in acts), *undone])
        step = self.step_of(entry)
        told, was = tell(entry.raw, self.names, step), ""
        if stands and stands[0] != entry.raw:
            told, was = tell(stands[0], self.names, step), told
        shown = [self.plain(act, told=said_below(act)) for act in acts]
        return self.plain(entry, told=told, was=was, gone=not stands, acts=shown)

    def plain(self, entry: Entry, **more: object) -> Line:
        raw = entry.raw
        who = self.names.get("operator", raw.get("operator"))
        device = self.devices.get(entry.device, entry.device)
        told = (
            more.pop("told", None)
            or self.tell_act(entry)
            or tell(raw, self.names, self.step_of(entry))
        )
        return Line(entry, kind_name(entry.kind), str(told), who, device, **more)

    def tell_act(self, entry: Entry) -> str:
        """A correction or void says which entry it is about."""
        if entry.kind not in ACTS or not is_known(entry.raw):
            return ""
        target = self.targets.get(entry.target_id)
        about = (
            tell(target.raw, self.names, self.step_of(target))
            if target
            else phrase("an entry not known here")
        )
        if entry.kind == "void":
            reason = entry.raw["payload"]["reason"]
            return phrase("Voided: “{0}”. {1}", about, reason).strip()
        return phrase("Corrected: “{0}”.", about)


def said_below(act: Entry) -> str:
    """What stands under an entry that was corrected or voided; the entry itself says the rest."""
    reason = act.raw["payload"].get("reason")
    word = phrase("Voided") if act.kind == "void" else phrase("Corrected")
    return f"{word}: {reason}." if reason else f"{word}."


def inner(raw: dict) -> dict:
    """What a correction puts in place, for looking up its names; anything else is empty."""
    payload = told(raw, "payload")
    return {"payload": payload.get("payload"), "frame": payload.get("frame")}


def device_names(devices: set[str]) -> dict[str, str]:
    """What people call the source of an entry: a phone's label, or the office and who sat there."""
    ids = [rest for kind, _, rest in (device.partition(":") for device in devices) if is_uuid(rest)]
    labels = {
        str(pk): label for pk, label in Device.objects.filter(pk__in=ids).values_list("pk", "label")
    }
    return {device: device_name(device, labels) for device in devices}


def device_name(device: str, labels: dict[str, str]) -> str:
    kind, _, rest = device.partition(":")
    if kind in SOURCES:
        return phrase(SOURCES[kind], rest)
    return (
        labels.get(rest, phrase("a phone that is not known here"))
        if is_uuid(rest)
        else rest or kind
    )
