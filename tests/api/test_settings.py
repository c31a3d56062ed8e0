"""What the environment may say, and how a start is refused."""

import os
import stat
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from django.core.exceptions import ImproperlyConfigured

from shopfloor import environment as env

ROOT = Path(__file__).resolve().parents[2]

REFUSED = [
    (env.flag, "DEBUG", "maybe", "DEBUG is 'maybe': write 1 for yes or 0 for no."),
    (env.origin, "PUBLIC_ORIGIN", "shop.lan", "write it like https://tautbook.shop.lan:8443"),
    (env.origin, "PUBLIC_ORIGIN", "ftp://shop.lan", "write it like https://"),
    (env.origin, "PUBLIC_ORIGIN", "https://shop.lan/app", "without a path."),
    (env.origin, "PUBLIC_ORIGIN", "https://me:pw@shop.lan", "without a path."),
    (env.origin, "PUBLIC_ORIGIN", "https://shop.lan:99999", "without a path."),
    (env.zone, "TIME_ZONE", "Shop/Floor", "write a time zone like Europe/Lisbon."),
    (env.zone, "TIME_ZONE", "../../etc", "write a time zone like Europe/Lisbon."),
    (env.database, "DATABASE_URL", "oracle://db", "use sqlite:/// or postgresql://."),
    (env.database, "DATABASE_URL", "nonsense", "DATABASE_URL is 'nonsense'"),
]


@pytest.mark.parametrize(("reader", "name", "value", "said"), REFUSED)
def test_a_value_of_no_use_is_refused_by_name(
    reader: Any, name: str, value: str, said: str, monkeypatch: Any, tmp_path: Path
) -> None:
    monkeypatch.setenv(name, value)
    fallback = {"flag": False, "database": tmp_path / "db.sqlite3"}.get(reader.__name__, "")
    with pytest.raises(ImproperlyConfigured) as caught:
        reader(name, fallback)
    assert said in str(caught.value)
    assert str(caught.value).startswith(name)


@pytest.mark.parametrize("value", ["-1", "1.5", "a year", "99999999999"])
def test_a_number_is_whole_and_within_its_limits(value: str, monkeypatch: Any) -> None:
    monkeypatch.setenv("HSTS_SECONDS", value)
    with pytest.raises(ImproperlyConfigured, match="write a whole number from 0 to 10"):
        env.number("HSTS_SECONDS", 0, 0, 10)


def test_a_password_in_the_database_address_is_never_shown(
    monkeypatch: Any, tmp_path: Path
) -> None:
    monkeypatch.setenv("DATABASE_URL", "mysql://mara:secret@db/tautbook")
    with pytest.raises(ImproperlyConfigured) as caught:
        env.database("DATABASE_URL", tmp_path / "db.sqlite3")
    assert "secret" not in str(caught.value)


@pytest.mark.parametrize("yes", ["1", "true", "YES", "on"])
def test_yes_is_yes(yes: str, monkeypatch: Any) -> None:
    monkeypatch.setenv("DEBUG", yes)
    assert env.flag("DEBUG", False) is True


def test_postgresql_is_taken_from_its_address(monkeypatch: Any, tmp_path: Path) -> None:
    monkeypatch.setenv("DATABASE_URL", "postgresql://mara@db:5433/tautbook")
    found = env.database("DATABASE_URL", tmp_path / "db.sqlite3")
    assert found["ENGINE"] == "django.db.backends.postgresql"
    assert (found["HOST"], found["PORT"], found["NAME"]) == ("db", 5433, "tautbook")


def test_the_default_database_queues_its_writers(monkeypatch: Any, tmp_path: Path) -> None:
    monkeypatch.delenv("DATABASE_URL", raising=False)
    found = env.database("DATABASE_URL", tmp_path / "db.sqlite3")
    assert found["NAME"] == str(tmp_path / "db.sqlite3")
    assert found["OPTIONS"] == {
        "timeout": 20,
        "transaction_mode": "IMMEDIATE",
        "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;",
    }


def test_the_key_is_made_once_and_shut_to_others(tmp_path: Path) -> None:
    key = env.secret_key(tmp_path)
    assert len(key) > 80
    assert env.secret_key(tmp_path) == key
    assert stat.S_IMODE((tmp_path / "secret_key").stat().st_mode) == 0o600
    assert [path.name for path in tmp_path.iterdir()] == ["secret_key"]


def mode(path: Path) -> str:
    return oct(stat.S_IMODE(path.stat().st_mode))


@pytest.mark.parametrize("lies_there", ["", "secret_key"])
def test_a_data_folder_that_others_could_read_is_closed(tmp_path: Path, lies_there: str) -> None:
    """A new one, and one of an earlier start."""
    data = tmp_path / "data"
    data.mkdir()
    if lies_there:
        (data / lies_there).write_text("k" * 80)
    data.chmod(0o2755)
    program = (
        "import os, sqlite3; os.umask(0o022); from shopfloor import settings; "
        "link = sqlite3.connect(settings.DATABASES['default']['NAME']); "
        "link.execute('create table made (a)')"
    )
    fresh = {**os.environ, "TAUTBOOK_DATA": str(data), "DATABASE_URL": ""}
    subprocess.run([sys.executable, "-c", program], cwd=ROOT, env=fresh, timeout=60, check=True)
    assert mode(data) in ("0o700", "0o2700")
    assert mode(data / "tautbook.sqlite3") == "0o600"
    assert mode(data / "static") in ("0o700", "0o2700")


@pytest.mark.parametrize(
    ("before", "lies_there", "whose"),
    [
        (0o755, "letters", None),
        (0o1777, "", None),
        (0o1777, "secret_key", None),
        (0o755, "secret_key", 12_345),
    ],
    ids=["other things in it", "shared", "shared, with our key", "somebody else's"],
)
def test_a_folder_that_is_not_ours_alone_is_left_as_it_is(
    monkeypatch: Any, tmp_path: Path, before: int, lies_there: str, whose: int | None
) -> None:
    data = tmp_path / "data"
    data.mkdir()
    if lies_there:
        (data / lies_there).write_text("k" * 80)
    if whose is not None:
        if os.geteuid() != 0:
            pytest.skip("only root can give a folder away")
        os.chown(data, whose, -1)
    data.chmod(before)
    monkeypatch.setenv("TAUTBOOK_DATA", str(data))
    assert env.data_folder("TAUTBOOK_DATA", tmp_path) == data
    assert mode(data) == oct(before)


def test_an_emptied_key_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "secret_key").write_text("")
    with pytest.raises(ImproperlyConfigured, match="holds no key: delete it and start again"):
        env.secret_key(tmp_path)


def seen_with(tmp_path: Path, what: str, **environment: str) -> str:
    """A setting as a fresh start would see it."""
    fresh = {**os.environ, "TAUTBOOK_DATA": str(tmp_path), "DATABASE_URL": "", **environment}
    program = f"from shopfloor import settings; print(settings.{what})"
    return subprocess.run(
        [sys.executable, "-c", program],
        cwd=ROOT,
        env=fresh,
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    ).stdout.strip()


@pytest.mark.parametrize(
    ("origin", "cookie"),
    [
        ("https://shop.lan", "__Host-tautbook_device"),
        ("http://localhost:8000", "tautbook_device"),
    ],
)
def test_cookies_belong_to_this_host_alone_on_https(
    tmp_path: Path, origin: str, cookie: str
) -> None:
    """RFC 6265bis, section 4.1.3.2: `__Host-` needs Secure, no Domain and the path /."""
    assert seen_with(tmp_path, "DEVICE_COOKIE_NAME", PUBLIC_ORIGIN=origin) == cookie
    secure = seen_with(tmp_path, "SESSION_COOKIE_SECURE", PUBLIC_ORIGIN=origin)
    assert secure == str(origin.startswith("https"))


def test_the_public_origin_is_the_one_source_of_the_host(tmp_path: Path) -> None:
    origin = "https://Tautbook.Shop.LAN:8443/"
    assert seen_with(tmp_path, "PUBLIC_ORIGIN", PUBLIC_ORIGIN=origin) == (
        "https://tautbook.shop.lan:8443"
    )
    hosts = seen_with(tmp_path, "ALLOWED_HOSTS", PUBLIC_ORIGIN=origin, ALLOWED_HOSTS="a.lan, b.lan")
    assert hosts == str(["tautbook.shop.lan", "localhost", "127.0.0.1", "[::1]", "a.lan", "b.lan"])


def test_all_that_belongs_to_the_shop_lies_in_one_folder(tmp_path: Path) -> None:
    data = tmp_path / "made" / "now"
    name = seen_with(data, "DATABASES['default']['NAME']")
    assert name == str(data / "tautbook.sqlite3")
    assert (data / "secret_key").exists()


@pytest.mark.parametrize(
    ("more", "seconds"),
    [
        ({}, 0),
        ({"BEHIND_PROXY": "1"}, 365 * 24 * 3600),
        ({"CERTIFICATE": "chain.pem", "CERTIFICATE_KEY": "key.pem"}, 365 * 24 * 3600),
        ({"BEHIND_PROXY": "1", "HSTS_SECONDS": "60"}, 60),
        ({"BEHIND_PROXY": "1", "PUBLIC_ORIGIN": "http://localhost:8000"}, 0),
    ],
)
def test_browsers_insist_on_https_where_others_vouch_for_it(
    more: dict[str, str], seconds: int, tmp_path: Path
) -> None:
    """With the shop's own authority a plain page of the same name hands that out."""
    base = {"TAUTBOOK_DATA": str(tmp_path), "PUBLIC_ORIGIN": "https://shop.test"}
    kept = {name: value for name, value in os.environ.items() if name != "HSTS_SECONDS"}
    words = [sys.executable, "-c", "import shopfloor.settings as s; print(s.SECURE_HSTS_SECONDS)"]
    done = subprocess.run(
        words, cwd=ROOT, env={**kept, **base, **more}, capture_output=True, text=True, timeout=60
    )
    assert done.stdout.strip() == str(seconds), done.stderr
