"""Which errors of the database are trouble of its machine, to be waited for, and none of ours."""

from django.db import DatabaseError, OperationalError

# PostgreSQL, appendix A: read_only_sql_transaction, disk_full
STATES = {"25006", "53100"}
NAMES = ("SQLITE_READONLY", "SQLITE_FULL")


def cannot_write(error: BaseException | None) -> bool:
    """The disk is full or the database may only be read: somebody has to see to it."""
    said = getattr(error, "__cause__", None)
    name = getattr(said, "sqlite_errorname", None) or ""
    return getattr(said, "sqlstate", None) in STATES or name.startswith(NAMES)


def is_trouble(error: BaseException | None) -> bool:
    """Also locked, or away."""
    read_only = isinstance(error, DatabaseError) and cannot_write(error)
    return read_only or isinstance(error, OperationalError)
