"""Readers of the environment. A value of no use stops the start and says what to write."""

import os
import secrets
import stat
from contextlib import suppress
from pathlib import Path
from urllib.parse import SplitResult, urlsplit
from zoneinfo import ZoneInfo

import dj_database_url
from django.core.exceptions import ImproperlyConfigured

YES = {"1", "true", "yes", "on"}
NO = {"0", "false", "no", "off", ""}
SECRET_KEY = "secret_key"

# WAL alone still fails under writers that start as readers; IMMEDIATE makes them queue, and FULL
# means that an acknowledged entry survives a power cut. The timeout is for opening the file; then
# turns.py says who waits how long.
SQLITE_OPTIONS = {
    "timeout": 20,
    "transaction_mode": "IMMEDIATE",
    "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;",
}
# A phone gives up after 45 s, of which it may have stood at the door for 15 already.
POSTGRESQL_OPTIONS = {"options": "-c lock_timeout=20s"}


def _refuse(name: str, value: str, remedy: str) -> ImproperlyConfigured:
    return ImproperlyConfigured(f"{name} is {value!r}: {remedy}")


def flag(name: str, default: bool) -> bool:
    value = os.environ.get(name)
    if value is None:
        return default
    if value.strip().lower() in YES | NO:
        return value.strip().lower() in YES
    raise _refuse(name, value, "write 1 for yes or 0 for no.")


def number(name: str, default: int, low: int, high: int) -> int:
    value = os.environ.get(name, str(default))
    if not value.strip().isdigit() or not low <= int(value) <= high:
        raise _refuse(name, value, f"write a whole number from {low} to {high}.")
    return int(value)


def choice(name: str, default: str, among: tuple[str, ...]) -> str:
    value = os.environ.get(name, default).strip().lower()
    if value not in among:
        raise _refuse(name, value, f"write {' or '.join(among)}.")
    return value


def names(name: str) -> list[str]:
    return [part.strip() for part in os.environ.get(name, "").split(",") if part.strip()]


def origin(name: str, default: str) -> str:
    """Scheme, host and port of the address that phones use; nothing after it."""
    value = os.environ.get(name, default).rstrip("/")
    parts = urlsplit(value)
    plain = not (parts.path or parts.query or parts.fragment or parts.username)
    if parts.scheme in {"http", "https"} and parts.hostname and plain and _has_port(parts):
        return value.lower()
    raise _refuse(name, value, "write it like https://tautbook.shop.lan:8443, without a path.")


def _has_port(parts: SplitResult) -> bool:
    try:
        return parts.port != 0
    except ValueError:
        return False


def zone(name: str, default: str) -> str:
    value = os.environ.get(name, default)
    try:
        return ZoneInfo(value).key
    except (KeyError, ValueError, OSError) as error:
        raise _refuse(name, value, "write a time zone like Europe/Lisbon.") from error


def path(name: str) -> Path | None:
    """A file or folder that somebody named; it need not be there yet."""
    value = os.environ.get(name, "").strip()
    return Path(value).expanduser().resolve() if value else None


def data_folder(name: str, default: Path) -> Path:
    """The folder of this installation, closed to others as is all that we write from now on."""
    os.umask(0o077)
    folder = Path(os.environ.get(name) or default).expanduser().resolve()
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise _refuse(
            name, str(folder), f"the folder cannot be made ({error.strerror})."
        ) from error
    with suppress(OSError):  # some file systems know no owners
        _close_to_others(folder)
    return folder


def _close_to_others(folder: Path) -> None:
    """Only where it is ours: we own it, and it is empty or holds our key. A folder that somebody
    shares (its sticky bit says so), or where other things lie, is for its owner to close."""
    about = folder.stat()
    owned = hasattr(os, "geteuid") and about.st_uid == os.geteuid()
    if not owned or about.st_mode & stat.S_ISVTX or not about.st_mode & 0o077:
        return
    if (folder / SECRET_KEY).exists() or not any(folder.iterdir()):
        folder.chmod(stat.S_IMODE(about.st_mode) & ~0o077)


def database(name: str, default: Path) -> dict:
    url = os.environ.get(name) or f"sqlite:///{default}"
    try:
        parsed = database_at(url)
    except ValueError as error:
        raise _refuse(name, url.partition("@")[2] or url, f"{error}") from error
    if parsed["ENGINE"].endswith("sqlite3"):
        # a file also in tests: threads must meet the same locks as in the shop
        parsed["TEST"] = {"NAME": str(default.with_name(f"test-{os.getpid()}.sqlite3"))}
    return parsed


def database_at(url: str) -> dict:
    """Django's settings for the database at this address; ValueError if it is none of ours."""
    # dict() because the parser hands out a read-only shape for type checkers
    parsed = dict(dj_database_url.parse(url, conn_max_age=60, conn_health_checks=True))
    if parsed["ENGINE"].endswith("sqlite3"):
        parsed["OPTIONS"] = SQLITE_OPTIONS
    elif parsed["ENGINE"].endswith("postgresql"):
        parsed["OPTIONS"] = POSTGRESQL_OPTIONS | parsed.get("OPTIONS", {})
    else:
        raise ValueError("use sqlite:/// or postgresql://.")
    return parsed


def secret_key(folder: Path) -> str:
    """The key of this installation, made on the first start and readable by its owner alone."""
    path = folder / SECRET_KEY
    if not path.exists():
        draft = folder / f"{SECRET_KEY}.{secrets.token_hex(8)}"
        with open(os.open(draft, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "w") as file:
            file.write(secrets.token_urlsafe(64))
        try:
            # link, not rename: of two processes that start at once only one may win
            os.link(draft, path)
        except FileExistsError:
            pass
        finally:
            draft.unlink()
    key = path.read_text().strip()
    if len(key) < 50:
        raise ImproperlyConfigured(f"{path} holds no key: delete it and start again.")
    return key
