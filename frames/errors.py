"""What the person is told when something cannot be taken: field, value, remedy."""

from dataclasses import asdict, dataclass
from typing import Any

from frames.wording import mark, say

LONGEST = 120


@dataclass(frozen=True)
class Problem:
    """One thing wrong: where it stands, what stood there, what to do about it."""

    field: str
    value: Any
    remedy: str

    def body(self) -> dict[str, Any]:
        return asdict(self) | {"value": shown(self.value)}


def shown(value: Any) -> str | int | float | bool | None:
    """What was given, short and safe to store and to send, whatever it was."""
    if value is None or isinstance(value, bool):
        return value
    if isinstance(value, int | float) and abs(value) < 1e15:
        return value
    text = value if isinstance(value, str) and value.isprintable() else ascii(value)
    return text if len(text) <= LONGEST else text[:LONGEST] + "…"


class BadInput(ValueError):
    """Input that was not taken; nothing was changed."""

    title = mark("That could not be taken")

    def __init__(self, problems: list[Problem]) -> None:
        self.problems = problems
        super().__init__("; ".join(f"{p.field}: {p.remedy}" for p in problems))


class CodeError(BadInput):
    """Text that is no frame code, or one with a slip in it."""

    title = mark("That is not a frame code")

    def __init__(self, field: str, value: Any, remedy: str) -> None:
        super().__init__([Problem(field, value, remedy)])
        self.field, self.value, self.remedy = field, value, remedy


class ThingError(BadInput):
    """A frame, mesh, press, meter, operator, job or colour that cannot be saved like this."""

    title = mark("That could not be saved")


class Unreadable(BadInput):
    """An entry that cannot go into the log; a copy of it is kept."""

    title = mark("This entry could not be read")


class NotFound(LookupError):
    """No thing of that kind has that id."""

    title = mark("That is not in the book")

    def __init__(self, kind: str, id: Any) -> None:
        self.problems = [
            Problem("id", str(id), say("Choose another {0}; this one is not known.", say(kind)))
        ]
        super().__init__(f"{kind} {id} is not known")


class Conflict(Exception):
    """Someone else saved this thing in the meantime; `current` is what stands now."""

    title = mark("Someone else changed this meanwhile")

    def __init__(self, current: dict[str, Any], seen: int) -> None:
        self.current = current
        self.problems = [Problem("version", seen, say("Look at what changed, then save again."))]
        super().__init__(f"version {seen} was changed to {current['version']} meanwhile")
