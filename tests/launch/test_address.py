"""Where Tautbook listens and what it is called."""

import os

import pytest

from shopfloor.launch import address
from shopfloor.launch.steps import Stop


@pytest.mark.parametrize(
    ("origin", "port", "proxied", "bind", "listens", "secure"),
    [
        ("http://localhost:8000", None, False, "127.0.0.1", 8000, False),
        ("http://127.0.0.1:9000", None, False, "127.0.0.1", 9000, False),
        ("https://tautbook.lan:8443", None, False, "0.0.0.0", 8443, True),
        ("https://tautbook.lan", None, False, "0.0.0.0", 443, True),
        ("https://tautbook.lan", 8443, False, "0.0.0.0", 8443, True),
        ("https://tautbook.example", None, True, "127.0.0.1", 8000, False),
    ],
)
def test_the_origin_decides_where_to_listen(
    origin: str, port: int | None, proxied: bool, bind: str, listens: int, secure: bool
) -> None:
    found = address.place(origin, port=port, behind_proxy=proxied)
    assert (found.bind, found.port, found.secure) == (bind, listens, secure)
    assert found.origin == origin


def test_plain_http_beyond_this_machine_is_refused_with_a_remedy() -> None:
    with pytest.raises(Stop, match=r"neither camera nor offline mode.*BEHIND_PROXY"):
        address.place("http://192.168.1.20:8000")


def test_a_real_start_needs_a_name(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("PUBLIC_ORIGIN", raising=False)
    with pytest.raises(Stop, match="PUBLIC_ORIGIN is not set"):
        address.settle("start", [])


def test_the_demo_stays_on_loopback_whatever_the_environment_says(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("PUBLIC_ORIGIN", "https://tautbook.lan:8443")
    # Set first, so that whatever `settle` writes is taken back afterwards.
    monkeypatch.setenv("TAUTBOOK_DATA", "")
    monkeypatch.delenv("TAUTBOOK_DATA")
    address.settle("demo", ["--port", "8017"])
    assert os.environ["PUBLIC_ORIGIN"] == "http://localhost:8017"
    assert os.environ["TAUTBOOK_DATA"].endswith("demo")


def test_the_demo_for_phones_takes_a_given_name(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PUBLIC_ORIGIN", "https://tautbook.lan:8443")
    address.settle("demo", ["--lan"])
    assert os.environ["PUBLIC_ORIGIN"] == "https://tautbook.lan:8443"


def test_the_landing_page_is_on_the_same_host() -> None:
    assert address.place("https://tautbook.lan:8443").landing(8080) == "http://tautbook.lan:8080"
    assert address.place("https://[fd00::5]:8443").landing(8080) == "http://[fd00::5]:8080"
