"""Takes a person's name out of the book, while the log stays as it was written.

Entries name an operator by id alone, so their digests hold; what had the name in it is the
operator's row and what the feed told about it. Notes that people typed are never changed: they are
found, so that somebody can look at them.
"""

import json
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db.models import Q, QuerySet

from frames import feed, things
from frames.models import THINGS, Entry, Feed, InstallState, Operator, Refused

FORMER = "former operator"
# who stands before the name where an entry says what it came from
DOORS = ("desk", "import")


def operator(id: UUID, version: int, by: str, *, at: datetime | None = None) -> Operator:
    """Retire an operator under a name that tells nothing, here and in what phones are told."""
    with feed.change():
        new = {"name": f"{FORMER} {_next_number()}", "note": ""}
        renamed = things.change("operator", id, new, version, by, at=at)
        retired = things.retire("operator", id, renamed.version, by, at=at)
        _rewrite_feed(id, new)
    return retired


def _next_number() -> int:
    taken = Operator.objects.filter(name__startswith=FORMER).values_list("name", flat=True)
    numbers = [int(last) for name in taken if (last := name.rsplit(" ", 1)[1]).isdigit()]
    return max(numbers, default=0) + 1


def _rewrite_feed(id: UUID, new: dict[str, Any]) -> None:
    """Older versions told to phones hold the name too; their places in the feed stay."""
    told = list(Feed.objects.filter(type="thing", kind="operator", object_id=id))
    for row in told:
        row.body = row.body | new
    Feed.objects.bulk_update(told, ["body"])


def author(name: str, new: str) -> None:
    """Give another name to whoever wrote at a desk; what was written stays, digests as well."""
    for door in DOORS:
        old = f"{door}:{name}"
        for model in (Entry, InstallState, Refused):
            model.objects.filter(device=old).update(device=f"{door}:{new}")
    for model in THINGS.values():
        model.objects.filter(changed_by=name).update(changed_by=new)


def mentions(name: str) -> QuerySet[Entry]:
    """Entries in whose text the name stands, newest first; as written, or as JSON escapes it."""
    escaped = json.dumps(name)[1:-1]
    return Entry.objects.filter(Q(raw__icontains=name) | Q(raw__icontains=escaped)).newest_first()


def written_under(operator_id: UUID) -> QuerySet[Entry]:
    """Entries that were saved while this operator's name was picked."""
    return Entry.objects.filter(raw__operator=str(operator_id)).newest_first()
