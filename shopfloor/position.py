"""Notices that the database went back: a file beside it remembers the furthest feed position that
any phone was told. It is left out of backups, so a restored database no longer agrees with it.
"""

import json
import logging
import os
import tempfile
import threading
from pathlib import Path
from uuid import UUID

from django.conf import settings
from django.core.exceptions import ImproperlyConfigured
from django.db import DatabaseError

from frames import feed
from frames.feed import Head

logger = logging.getLogger(__name__)
FILE = "position.json"

_lock = threading.Lock()
_noted: dict[Path, Head] = {}


def path() -> Path:
    return settings.TAUTBOOK_DATA / FILE


def note(head: Head) -> None:
    """Called before a phone is told `head`; writes only when it is further than before."""
    with _lock:
        if _is_noted(_noted.get(path()), head):
            return
        # another process of this server may have told a phone more than this one knows of
        beside = read()
        if not _is_noted(beside, head):
            try:
                _write(head)
            except OSError as error:
                # what was pushed is stored: that must be answered, whatever happens to the file
                logger.error("%s cannot be written: %s", path(), error)
                return
        _noted[path()] = head


def _is_noted(told: Head | None, head: Head) -> bool:
    return told is not None and told.epoch == head.epoch and told.seq >= head.seq


def _write(head: Head) -> None:
    # renamed into place, so that a reader never meets half a file
    handle, draft = tempfile.mkstemp(dir=settings.TAUTBOOK_DATA, prefix=FILE)
    try:
        with open(handle, "w") as file:
            json.dump({"epoch": head.epoch, "seq": head.seq, "id": head.id}, file)
        os.replace(draft, path())
    finally:
        Path(draft).unlink(missing_ok=True)


def read() -> Head | None:
    try:
        told = json.loads(path().read_text())
        return Head(told["epoch"], int(told["seq"]), told["id"] and str(UUID(told["id"])))
    except FileNotFoundError:
        return None
    except (OSError, ValueError, KeyError, TypeError, AttributeError) as error:
        logger.warning("%s cannot be read (%s): taken as a sign of a restore.", path(), error)
        return Head("", 0, None)


def check() -> bool:
    """At start: void all positions if the database is not the one phones were told about.

    A database in use without the file came here alone, as by a restore: what it was before is
    not known, and phones that name their newest entry only would not see all that it lacks.
    """
    try:
        told, now = read(), feed.head()
    except DatabaseError as error:
        remedy = f"The database does not answer ({error}). Is it there? Run manage.py migrate."
        raise ImproperlyConfigured(remedy) from error
    went_back = told is not None and not _is_of(told, now)
    if went_back:
        logger.warning("The database is older than what phones have seen: they send again.")
    came_alone = told is None and now.seq > 0
    if went_back or came_alone:
        now = feed.new_epoch()
    with _lock:
        _write(now)
        _noted[path()] = now
    return went_back or came_alone


def _is_of(told: Head, now: Head) -> bool:
    return told.epoch == now.epoch and feed.holds(told.seq, told.id)
