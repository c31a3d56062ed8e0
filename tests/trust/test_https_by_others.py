"""Https by somebody else: a proxy in front, or a certificate that the shop brought along."""

import http.cookiejar
import json
import re
import shutil
import socket
import ssl
import urllib.parse
import urllib.request
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from cryptography import x509
from django.contrib.auth.models import User
from django.test import Client

from shopfloor import authority
from shopfloor.launch.address import place
from shopfloor.launch.running import Shop
from tests.api import cast
from tests.shop_process import ShopProcess, free_port
from tests.trust.proxy import Proxy

ACCOUNT = """
from django.contrib.auth.models import Group, User
user = User.objects.create_user("mara", password="mara likes long words")
user.groups.add(Group.objects.get(name="manager"))
"""


class Behind(ShopProcess):
    """The server as it stands behind a proxy."""

    @property
    def env(self) -> dict[str, str]:
        return {**super().env, "BEHIND_PROXY": "1"}


@pytest.fixture
def tls(tmp_path: Path) -> tuple[Path, Path]:
    """A certificate for localhost by an authority that Tautbook knows nothing of."""
    served = authority.ensure(tmp_path / "elsewhere", ["localhost"], datetime.now(UTC))
    return served.certificate, served.key


@pytest.fixture
def proxied(bare_data: Path, tmp_path: Path, tls: tuple[Path, Path]) -> Iterator[str]:
    """The address of a proxy before the real server."""
    shutil.copytree(bare_data, tmp_path / "data")
    shop, port = Behind(tmp_path / "data"), free_port()
    shop.origin = f"https://localhost:{port}"
    shop.python(ACCOUNT)
    shop.start()
    proxy = Proxy(port, shop.port, tls)
    yield shop.origin
    proxy.close()
    shop.kill()


def browser(
    tls: tuple[Path, Path],
) -> tuple[urllib.request.OpenerDirector, http.cookiejar.CookieJar]:
    trusting = ssl.create_default_context(cafile=str(tls[0].with_name("authority.pem")))
    jar = http.cookiejar.CookieJar()
    https = urllib.request.HTTPSHandler(context=trusting)
    return urllib.request.build_opener(https, urllib.request.HTTPCookieProcessor(jar)), jar


def test_one_signs_in_through_a_proxy(proxied: str, tls: tuple[Path, Path]) -> None:
    opener, jar = browser(tls)
    page = opener.open(f"{proxied}/office/sign-in/", timeout=30).read().decode()
    token = re.search(r'csrfmiddlewaretoken" value="(\w+)"', page)
    assert token
    form = {"username": "mara", "password": "mara likes long words"}
    data = urllib.parse.urlencode(form | {"csrfmiddlewaretoken": token[1]}).encode()
    request = urllib.request.Request(f"{proxied}/office/sign-in/", data)
    request.add_header("Referer", f"{proxied}/office/sign-in/")
    request.add_header("Origin", proxied)
    with opener.open(request, timeout=30) as answer:
        assert answer.url == f"{proxied}/office/"
    cookies = {cookie.name: cookie.secure for cookie in jar}
    assert cookies == {"__Host-tautbook_session": True, "__Host-tautbook_csrf": True}


def test_a_foreign_page_does_not_get_through_it(proxied: str, tls: tuple[Path, Path]) -> None:
    opener, _ = browser(tls)
    request = urllib.request.Request(f"{proxied}/office/sign-in/", b"username=mara&password=x")
    request.add_header("Origin", "https://elsewhere.test")
    with pytest.raises(urllib.error.HTTPError) as caught:
        opener.open(request, timeout=30)
    assert caught.value.code == 403


def fail(**headers: str) -> int:
    return (
        Client()
        .post("/office/sign-in/", {"username": "mara", "password": "wrong"}, headers=headers)
        .status_code
    )


@pytest.fixture
def mara() -> User:
    return cast.person("mara", "manager")


@pytest.mark.django_db
def test_attempts_are_counted_by_whom_the_proxy_heard(mara: User, settings: object) -> None:
    settings.BEHIND_PROXY = True
    for claimed in range(5):
        status = fail(**{"X-Forwarded-For": f"10.9.9.{claimed}, 192.168.1.66"})
    assert status == 429
    assert fail(**{"X-Forwarded-For": "192.168.1.67"}) == 200


@pytest.mark.django_db
def test_without_a_proxy_nobody_chooses_an_address(mara: User) -> None:
    for claimed in range(5):
        status = fail(**{"X-Forwarded-For": f"192.168.1.{claimed}"})
    assert status == 429


@pytest.fixture
def own(
    bare_data: Path, tmp_path: Path, tls: tuple[Path, Path], monkeypatch: pytest.MonkeyPatch
) -> Iterator[Shop]:
    """A shop that serves with the certificate it brought along."""
    shutil.copytree(bare_data, tmp_path / "data")
    origin = f"https://localhost:{free_port()}"
    monkeypatch.setenv("TAUTBOOK_DATA", str(tmp_path / "data"))
    monkeypatch.setenv("PUBLIC_ORIGIN", origin)
    shop = Shop(place(origin), tmp_path / "data", ["localhost"], free_port(), own_certificate=tls)
    shop.open()
    yield shop
    shop.close()


def shown(port: int) -> x509.Certificate:
    """The certificate that a visitor is shown, whomever it convinces."""
    looking = ssl._create_unverified_context()
    with (
        socket.create_connection(("127.0.0.1", port), timeout=30) as raw,
        looking.wrap_socket(raw, server_hostname="localhost") as link,
    ):
        return x509.load_der_x509_certificate(link.getpeercert(binary_form=True) or b"")


def test_a_certificate_brought_along_is_served_and_renewed(
    own: Shop, tls: tuple[Path, Path], tmp_path: Path
) -> None:
    opener, _ = browser(tls)
    with opener.open(f"{own.place.origin}/health", timeout=30) as answer:
        assert json.load(answer)["status"] == "ok"
    assert len(own.children) == 1  # no page that hands out an authority
    assert not (own.data / "authority").exists()
    first = shown(own.place.port)
    own._look_after()
    assert shown(own.place.port) == first

    chain = tls[0]
    chain.unlink()
    authority.ensure(tmp_path / "elsewhere", ["localhost"], datetime.now(UTC))
    own._look_after()
    second = shown(own.place.port)
    assert second != first
    assert second == x509.load_pem_x509_certificates(chain.read_bytes())[0]


def test_older_tls_is_refused(own: Shop) -> None:
    """RFC 8996 does away with TLS 1.0 and 1.1; here even 1.2 is not spoken."""
    old = ssl._create_unverified_context()
    old.maximum_version = ssl.TLSVersion.TLSv1_2
    with (
        socket.create_connection(("127.0.0.1", own.place.port), timeout=30) as raw,
        pytest.raises((ssl.SSLError, ConnectionResetError)),
    ):
        old.wrap_socket(raw, server_hostname="localhost")


def test_a_new_address_gets_a_certificate_that_covers_it(
    bare_data: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The router gave the machine another address: phones go on trusting the same authority."""
    shutil.copytree(bare_data, tmp_path / "data")
    origin = f"https://localhost:{free_port()}"
    monkeypatch.setenv("TAUTBOOK_DATA", str(tmp_path / "data"))
    monkeypatch.setenv("PUBLIC_ORIGIN", origin)
    covered, prints = [], []
    for address in ("192.168.7.20", "192.168.7.31"):
        shop = Shop(place(origin), tmp_path / "data", ["localhost", address], free_port())
        shop.open()
        names = shown(shop.place.port).extensions.get_extension_for_class(
            x509.SubjectAlternativeName
        )
        covered.append([str(one) for one in names.value.get_values_for_type(x509.IPAddress)])
        prints.append(authority.fingerprint(shop.data))
        shop.close()
    assert covered == [["192.168.7.20"], ["192.168.7.31"]]
    assert prints[0] == prints[1]
