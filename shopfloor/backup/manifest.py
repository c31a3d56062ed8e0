"""What the first file of a backup has to say, checked wholly before any of it is used.

A backup may come from anywhere: nothing that its manifest says is taken on trust, neither a name
of a file nor a word that is shown in the terminal.
"""

import json
import re
from typing import Any

from shopfloor.backup.errors import BackupError

Json = dict[str, Any]
FORMAT = 1
KINDS = ("sqlite", "postgresql")
NO_BACKUP = "This is no backup of this program, or it was cut off."
NAME = re.compile(r"database\.(?:sqlite3|dump)|secret_key|authority/authority\.[a-z]{1,9}")
EACH = object()  # stands for every key of an object
SHAPE = {
    "made_at": str,
    "origin": str,
    "database": str,
    "files": {EACH: {"bytes": int, "sha256": str}},
    "holds": {
        "tables": {EACH: int},
        "log": {"entries": int, "seq": int, "digest": str},
        "epoch": str,
        "head": {"seq": int, "id": (str, type(None))},
        "migrations": [str],
    },
}


def read(raw: bytes) -> Json:
    """The manifest; BackupError if it is none, or names what does not belong into a backup."""
    try:
        manifest = json.loads(raw)
    except (ValueError, RecursionError):
        manifest = None
    if not isinstance(manifest, dict) or type(manifest.get("format")) is not int:
        raise BackupError(NO_BACKUP)
    if manifest["format"] != FORMAT:
        raise BackupError("A newer version made this backup: install that version first.")
    for name in manifest["files"] if isinstance(manifest.get("files"), dict) else ():
        check_name(name)
    if not _fits(manifest, SHAPE) or manifest["database"] not in KINDS:
        raise BackupError(NO_BACKUP)
    return manifest


def check_name(name: str) -> None:
    if not NAME.fullmatch(name):
        raise BackupError(f"The backup holds {name!r}, which does not belong there.")


def _fits(value: Any, shape: Any) -> bool:
    if isinstance(shape, list):
        return isinstance(value, list) and all(_fits(one, shape[0]) for one in value)
    if not isinstance(shape, dict):
        is_one = isinstance(value, shape) and not isinstance(value, bool)
        return is_one and (not isinstance(value, str) or value.isprintable())
    if not isinstance(value, dict) or not all(map(str.isprintable, value)):
        return False
    if EACH in shape:
        return all(_fits(one, shape[EACH]) for one in value.values())
    return all(key in value and _fits(value[key], part) for key, part in shape.items())
