"""Visitors who connect and say nothing: the others are answered, and the silent ones are let go."""

import http.client
import re
import resource
import socket
import ssl
import subprocess
import sys
from contextlib import ExitStack

import pytest

from shopfloor.launch import connections, server
from tests.conftest import ServerMaker
from tests.shop_process import ROOT, ShopProcess

# More than the web server takes by itself.
SILENT = 1100


def test_many_silent_visitors_stop_nobody_and_are_let_go(
    open_server: ServerMaker, bare_data: object
) -> None:
    if connections.make_room() < 2 * SILENT:
        pytest.skip("this system allows too few open files for the test itself")
    shop = open_server(bare_data, host="shop.test", secure=True)
    with ExitStack() as stack:
        greeted, halfway = (stack.enter_context(greet(shop)) for _ in range(2))
        halfway.sendall(b"GET /health HTTP/1.1\r\nHost: shop.test\r\n")
        silent = [stack.enter_context(connect(shop)) for _ in range(SILENT)]
        assert server.answers(shop.port, "/health", secure=True, host=f"shop.test:{shop.port}")
        for link in (greeted, halfway, silent[0], silent[-1]):
            link.settimeout(300)
            assert link.recv(1) == b""


def test_an_address_of_use_is_never_too_long(open_server: ServerMaker, bare_data: object) -> None:
    shop = open_server(bare_data)
    link = http.client.HTTPConnection("localhost", shop.port, timeout=60)
    link.request("GET", f"/office/labels/?frames={'+'.join(['FRAME-12345'] * 500)}")
    assert link.getresponse().status == 302


def connect(shop: ShopProcess) -> socket.socket:
    return socket.create_connection(("127.0.0.1", shop.port), timeout=60)


def greet(shop: ShopProcess) -> ssl.SSLSocket:
    """A connection that is encrypted, and says no more."""
    return ssl._create_unverified_context().wrap_socket(connect(shop), server_hostname=shop.host)


ASK = """
import resource
from shopfloor.launch import connections
resource.setrlimit(resource.RLIMIT_NOFILE, ({soft}, {hard}))
print(connections.make_room(), *resource.getrlimit(resource.RLIMIT_NOFILE))
"""


@pytest.mark.parametrize(
    ("soft", "hard", "said"),
    [
        (1024, 20_000, (8192, 8448, 20_000)),
        (1024, 4096, (3840, 4096, 4096)),
        (256, 256, (128, 256, 256)),
        (10_000, 20_000, (8192, 10_000, 20_000)),
    ],
)
def test_the_limit_of_open_files_is_raised_as_far_as_allowed(
    soft: int, hard: int, said: tuple[int, int, int]
) -> None:
    allowed = resource.getrlimit(resource.RLIMIT_NOFILE)[1]
    if allowed != resource.RLIM_INFINITY and allowed < hard:
        pytest.skip(f"this system allows {allowed} open files")
    done = subprocess.run(
        [sys.executable, "-c", ASK.format(soft=soft, hard=hard)],
        **{"cwd": ROOT, "capture_output": True, "text": True, "check": True, "timeout": 60},
    )
    assert tuple(map(int, done.stdout.split())) == said


def test_a_service_is_allowed_more_than_that() -> None:
    unit = (ROOT / "shopfloor/deploy/tautbook.service").read_text("utf-8")
    (allowed,) = re.findall(r"^LimitNOFILE=(\d+)$", unit, re.MULTILINE)
    assert int(allowed) >= connections.MOST + connections.OTHER_FILES
