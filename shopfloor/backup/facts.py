"""What a copy of the database holds, told the same way for every kind of database.

{"tables": {name: rows}, "log": {"entries", "seq", "digest"}, "epoch", "head": {"seq", "id"},
 "migrations": ["app.name", …]}
"""

import hashlib
from collections.abc import Iterable
from typing import Any

Json = dict[str, Any]
LOG = "frames_entry"


def log(rows: Iterable[tuple[Any, Any, Any]]) -> Json:
    """Digest over place, id and digest of all entries, given in the order of their places."""
    sum_, entries, last = hashlib.sha256(), 0, 0
    for seq, id, digest in rows:
        sum_.update(f"{seq} {plain(id)} {digest}\n".encode())
        entries, last = entries + 1, int(seq)
    return {"entries": entries, "seq": last, "digest": sum_.hexdigest()}


def plain(id: Any) -> str:
    """An id without the dashes that one database writes and another does not."""
    return str(id).replace("-", "")


def quoted(name: str) -> str:
    """The name of a table within a statement: a copy from elsewhere may hold tables of any name."""
    return '"' + name.replace('"', '""') + '"'


def is_empty(facts: Json) -> bool:
    """Whether nobody has used this book yet: no entries, no things, no accounts."""
    used = ("frames_entry", "frames_shop", "frames_frame", "shopfloor_device", "auth_user")
    return not any(facts["tables"].get(table) for table in used)


def differences(here: Json, there: Json) -> list[str]:
    """Names of what differs between two accounts; empty if they tell the same."""
    return [
        name for name in sorted(here.keys() | there.keys()) if here.get(name) != there.get(name)
    ]
