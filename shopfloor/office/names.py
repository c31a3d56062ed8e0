"""What the ids inside entries are called, looked up once per page."""

from collections.abc import Iterable
from uuid import UUID

from frames.models import Colour, Frame, Job, Mesh, Meter, Operator, Press, Shop

KEYS = {
    "mesh": Mesh,
    "meter": Meter,
    "press": Press,
    "job": Job,
    "colour": Colour,
    "operator": Operator,
    "frame": Frame,
}
SPOKEN = {Job: "number", Frame: "code"}


class Names:
    """Names by kind and id, and the unit of lengths; an id that nobody knows is said so."""

    def __init__(self, wanted: dict[type, set[str]], length_unit: str = "mm") -> None:
        self.length_unit = length_unit
        self._known = {
            model: {
                str(pk): str(name)
                for pk, name in model.objects.filter(pk__in=ids).values_list(
                    "pk", SPOKEN.get(model, "name")
                )
            }
            for model, ids in wanted.items()
            if ids
        }

    @classmethod
    def of_entries(cls, raws: Iterable[dict]) -> "Names":
        """Looks up everything that these entries name: one query for each kind of thing."""
        wanted: dict[type, set[str]] = {model: set() for model in KEYS.values()}
        unit = None
        for raw in raws:
            subject, payload = told(raw, "subject"), told(raw, "payload")
            named = {**payload, "operator": raw.get("operator"), "frame": raw.get("frame")}
            if isinstance(about := subject.get("kind"), str):
                named[about] = subject.get("id")
            for key, value in named.items():
                if key in KEYS and is_uuid(value):
                    wanted[KEYS[key]].add(value)
            colours = named.get("colours")
            wanted[Colour] |= set(filter(is_uuid, colours if isinstance(colours, list) else []))
            if raw.get("kind") == "stretch_step" and unit is None:
                unit = Shop.objects.values_list("length_unit", flat=True).first()
        return cls(wanted, unit or "mm")

    def get(self, key: str, value: str | None) -> str:
        if not value:
            return ""
        return self._known.get(KEYS[key], {}).get(str(value), f"a {key} that is not known here")


def told(raw: dict, key: str) -> dict:
    """A part of an entry; empty where a newer app, or a refused entry, has something else there."""
    part = raw.get(key)
    return part if isinstance(part, dict) else {}


def is_uuid(value: object) -> bool:
    try:
        UUID(value if isinstance(value, str) else "")
    except ValueError:
        return False
    return True
