"""Takes good lines into the book through the door of things, a chunk in one transaction."""

from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any

from django.db import transaction

from frames import things
from frames.errors import BadInput, Conflict, NotFound, Problem, shown
from frames.wording import mark, say
from shopfloor.exchange.columns import KINDS
from shopfloor.exchange.models import Line, Upload
from shopfloor.exchange.proposals import LEFT, Fault

CHUNK = 250
CHANGED_MEANWHILE = mark("Somebody changed it meanwhile. Choose the file again.")


@dataclass(frozen=True)
class Progress:
    """How many things of a file there are to take, and how many are through."""

    done: int
    of: int

    @property
    def finished(self) -> bool:
        return self.done == self.of


def progress(upload: Upload) -> Progress:
    waiting = upload.lines.waiting().count()
    done = upload.lines.filter(taken=True).count() + upload.lines.filter(verdict=LEFT).count()
    return Progress(done, done + waiting)


def take_chunk(upload: Upload, by: str, now: datetime) -> Progress:
    """Take the next lines. A line that the book no longer allows is kept back with its reason."""
    with transaction.atomic():
        held = Upload.objects.select_for_update().get(pk=upload.pk)
        if held.begun_at is None:
            held.begun_at = now
            held.save(update_fields=["begun_at"])
        lines = list(held.lines.waiting()[:CHUNK])
        taken = [line.pk for line in lines if _take(line, KINDS[held.slug].kind, by, now)]
        held.lines.filter(pk__in=taken).update(taken=True)
    return progress(upload)


def _take(line: Line, kind: str, by: str, now: datetime) -> bool:
    try:
        with transaction.atomic():
            _save(line.body, kind, by, now)
    except Conflict:
        _keep_back(line, [Problem(line.name, "", say(CHANGED_MEANWHILE))])
    except (BadInput, NotFound) as error:
        _keep_back(line, error.problems)
    else:
        return True
    return False


def _keep_back(line: Line, problems: list[Problem]) -> None:
    line.verdict = LEFT
    line.faults = [
        asdict(Fault(line.row, problem.field, str(shown(problem.value) or ""), problem.remedy))
        for problem in problems
    ]
    line.save(update_fields=["verdict", "faults"])


def _save(body: dict[str, Any], kind: str, by: str, now: datetime) -> None:
    id, values = body["thing"], body["values"]
    if id is None:
        id = str(things.create(kind, values, by, at=now).pk)
    elif values:
        things.change(kind, id, values, body["version"], by, at=now)
    for part in body["parts"]:
        if part["thing"] is None:
            things.create("colour", part["values"] | {"job": id}, by, at=now)
        else:
            things.change("colour", part["thing"], part["values"], part["version"], by, at=now)
