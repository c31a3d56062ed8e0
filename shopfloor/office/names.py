"""What the ids inside entries are called, looked up once per page."""

from collections.abc import Iterable
from uuid import UUID

from frames.models import Colour, Frame, Job, Mesh, Meter, Operator, Press

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
    """Names by kind and id; an id that nobody knows is said so, never hidden."""

    def __init__(self, wanted: dict[type, set[str]]) -> None:
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
        for raw in raws:
            subject = raw.get("subject") or {}
            named = {**(raw.get("payload") or {}), "operator": raw.get("operator")}
            named |= {"frame": raw.get("frame"), subject.get("kind", ""): subject.get("id")}
            for key, value in named.items():
                if key in KEYS and is_uuid(value):
                    wanted[KEYS[key]].add(value)
            colours = named.get("colours")
            wanted[Colour] |= set(filter(is_uuid, colours if isinstance(colours, list) else []))
        return cls(wanted)

    def get(self, key: str, value: str | None) -> str:
        if not value:
            return ""
        return self._known.get(KEYS[key], {}).get(str(value), f"a {key} that is not known here")


def is_uuid(value: object) -> bool:
    try:
        UUID(str(value))
    except ValueError:
        return False
    return True
