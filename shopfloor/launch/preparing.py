"""Brings data folder, database and pages up to date before the server starts."""

from pathlib import Path

from django.conf import settings
from django.core.management import call_command
from django.db import DatabaseError

from shopfloor import places
from shopfloor.launch import pages, saving
from shopfloor.launch.address import Place, place
from shopfloor.launch.running import Shop
from shopfloor.launch.steps import Stop, say, step


def prepare(options: dict[str, object]) -> Shop:
    """Check ports, collect, migrate; what is up to date costs nothing."""
    found = place(
        settings.PUBLIC_ORIGIN, port=_number(options["port"]), behind_proxy=settings.BEHIND_PROXY
    )
    shop = Shop(
        found,
        settings.TAUTBOOK_DATA,
        _hosts(found),
        _number(options["landing_port"]) or 0,
        own_certificate=_own_certificate(),
    )
    shop.check_ports()
    (settings.TAUTBOOK_DATA / places.ORIGIN).write_text(settings.PUBLIC_ORIGIN, "utf-8")
    say(f"Data folder: {settings.TAUTBOOK_DATA}")
    collect()
    saving.before_upgrade()
    with step("Database"):
        call_command("migrate", verbosity=0, interactive=False)
    fold_anew()
    return shop


def fold_anew() -> None:
    """An entry that the version before did not know counts from now on, as it does on phones."""
    try:
        call_command("rebuild_state", if_due=True)
    except DatabaseError as reason:
        raise Stop(
            f"The log could not be folded by the rules of this version: {reason}. If another "
            "start is at it, wait until that one is done. Is the disk full? Then start again."
        ) from None


def collect() -> None:
    """Copy and hash what browsers fetch, unless the last copy was made of the same."""
    stamp = Path(settings.STATIC_ROOT) / ".sources"
    wanted = pages.collected_digest()
    if stamp.exists() and stamp.read_text("utf-8") == wanted:
        return
    with step("Hashing the pages' files"):
        call_command("collectstatic", verbosity=0, interactive=False, clear=True)
        stamp.write_text(wanted, "utf-8")


def _own_certificate() -> tuple[Path, Path] | None:
    """The certificate chain and key that the shop brought along, if it did."""
    chain, key = settings.CERTIFICATE, settings.CERTIFICATE_KEY
    for name, file in {"CERTIFICATE": chain, "CERTIFICATE_KEY": key}.items():
        if (chain or key) and not (file and file.is_file()):
            raise Stop(
                f"{name} is {str(file) if file else 'not set'}: CERTIFICATE names the file of the "
                "certificate with its chain, CERTIFICATE_KEY that of its key. Set both or neither."
            )
    return (chain, key) if chain and key else None


def _hosts(found: Place) -> list[str]:
    """Every name that the certificate must cover: the origin's first, no loopback names."""
    local = ("localhost", "127.0.0.1", "[::1]")
    others = [name for name in settings.ALLOWED_HOSTS if name not in (*local, found.host)]
    return [found.host, *(name.strip("[]") for name in others)]


def _number(value: object) -> int | None:
    return value if isinstance(value, int) else None
