"""The plain-http page: a real process that gives out the certificate and nothing else."""

import http.client
import ssl
import subprocess
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from shopfloor import authority
from shopfloor.authority import phones
from shopfloor.launch import server
from shopfloor.launch.running import LANDING
from tests.shop_process import ShopProcess, free_port


@pytest.fixture
def landing(tmp_path: Path) -> Iterator[tuple[int, Path]]:
    authority.ensure(tmp_path, ["shop.test"], datetime.now(UTC))
    port = free_port()
    env = ShopProcess(tmp_path, host="shop.test", secure=True).env
    process = server.start(LANDING, bind="127.0.0.1", port=port, interface=server.WSGI, env=env)
    server.wait_until_answering(process, port, "/", secure=False, host="shop.test")
    yield port, tmp_path
    server.stop(process)


def fetch(port: int, path: str, method: str = "GET") -> tuple[http.client.HTTPResponse, bytes]:
    link = http.client.HTTPConnection("127.0.0.1", port, timeout=10)
    link.request(method, path)
    answer = link.getresponse()
    return answer, answer.read()


def test_it_hands_the_certificate_to_both_kinds_of_phone(landing: tuple[int, Path]) -> None:
    port, data = landing
    certificate = authority.certificate(data)
    answer, body = fetch(port, "/tautbook.crt")
    assert answer.getheader("Content-Type") == "application/x-x509-ca-cert"
    assert body == phones.for_android(certificate)
    answer, body = fetch(port, "/tautbook.mobileconfig")
    assert answer.getheader("Content-Type") == "application/x-apple-aspen-config"
    assert body == phones.for_ios(certificate)


def test_the_page_warns_names_the_shop_and_does_not_vouch_for_itself(
    landing: tuple[int, Path],
) -> None:
    port, data = landing
    answer, body = fetch(port, "/")
    text = body.decode()
    assert answer.status == 200
    assert "Tautbook of shop.test" in text
    assert "Compare before you trust" in text
    # Printed here it could be forged together with the certificate.
    assert (authority.fingerprint(data) or "-") not in text
    assert "default-src 'none'" in (answer.getheader("Content-Security-Policy") or "")


@pytest.mark.parametrize(
    ("method", "path"),
    [("GET", "/office/"), ("GET", "/f/F0417-N"), ("GET", "/authority.key"), ("POST", "/"),
     ("GET", "/../server.key"), ("POST", "/api/v1/sync/push")],
)  # fmt: skip
def test_nothing_else_is_there(landing: tuple[int, Path], method: str, path: str) -> None:
    answer, body = fetch(landing[0], path, method)
    assert answer.status == 404
    assert b"https://shop.test" in body


def test_a_client_that_trusts_the_authority_gets_through_to_the_real_server(
    demo_server: ShopProcess,
) -> None:
    anchor = demo_server.data / "authority/authority.pem"
    command = [
        *("openssl", "s_client", "-connect", f"127.0.0.1:{demo_server.port}", "-servername"),
        *("shop.test", "-verify_hostname", "shop.test", "-verify_return_error"),
        *("-CAfile", str(anchor)),
    ]
    said = subprocess.run(command, input="", capture_output=True, text=True, timeout=30).stdout
    assert "Verify return code: 0 (ok)" in said


def test_a_client_that_does_not_trust_it_is_turned_away(demo_server: ShopProcess) -> None:
    link = http.client.HTTPSConnection("127.0.0.1", demo_server.port, timeout=10)
    with pytest.raises(ssl.SSLCertVerificationError):
        link.request("GET", "/")
