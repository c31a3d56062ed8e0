"""The real start: one process to the person, https and landing page to the phones."""

import http.client
import os
import re
import signal
import socket
import ssl
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from shopfloor.launch.server import answers
from tests.shop_process import ROOT, ShopProcess, free_port

PATIENCE_S = 120


class Started:
    """`manage.py WORDS` as a person starts it; reads along until it says that it runs."""

    def __init__(
        self,
        env: dict[str, str],
        *words: str,
        program: tuple[str, ...] = (sys.executable, "-u", "manage.py"),
        folder: Path = ROOT,
    ) -> None:
        self.lines: list[str] = []
        self.process = subprocess.Popen(
            [*program, *words],
            **{"cwd": folder, "env": env, "text": True, "encoding": "utf-8"},
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            start_new_session=True,
        )
        self.up = threading.Event()
        self.reader = threading.Thread(target=self._read, daemon=True)
        self.reader.start()

    def _read(self) -> None:
        assert self.process.stdout
        for line in self.process.stdout:
            self.lines.append(line)
            if line.startswith("Stop with Ctrl-C"):
                self.up.set()
        self.up.set()

    def wait(self) -> str:
        assert self.up.wait(PATIENCE_S), self.text
        assert self.process.poll() is None, self.text
        return self.text

    @property
    def text(self) -> str:
        return "".join(self.lines)

    def kill(self) -> None:
        if self.process.poll() is None:
            os.killpg(self.process.pid, signal.SIGKILL)
            self.process.wait()

    def end(self) -> int:
        self.process.send_signal(signal.SIGTERM)
        code = self.process.wait(PATIENCE_S)
        self.reader.join(PATIENCE_S)
        return code


@pytest.fixture
def env(bare_data: Path, tmp_path: Path) -> dict[str, str]:
    shop = ShopProcess(tmp_path / "data", host="localhost", secure=True)
    return {**shop.env, "PUBLIC_ORIGIN": f"https://shop.test:{shop.port}"}


@pytest.fixture
def started(env: dict[str, str]) -> Iterator[list[Started]]:
    running: list[Started] = []
    yield running
    for one in running:
        one.kill()


def test_a_shop_starts_serves_and_stops_whole(env: dict[str, str], started: list[Started]) -> None:
    port, landing = int(env["PUBLIC_ORIGIN"].rsplit(":", 1)[1]), free_port()
    words = ("start", "--landing-port", str(landing))
    started.append(Started(env, *words))
    said = started[-1].wait()
    assert re.search(r"^  manager +(\w{4}-){3}\w{4}$", said, re.M)
    assert f"http://shop.test:{landing}" in said
    assert "chooses another password" in said
    assert "WARNING" not in said
    assert len(re.findall(r"\b[0-9A-F]{2}\b", said.split("SHA-256")[1])) == 32
    assert _trusted_status(env, port) == 200
    assert answers(landing, "/", secure=False, host="shop.test")
    assert started[-1].end() == 0
    assert not answers(port, "/", secure=True, host="shop.test")
    assert not answers(landing, "/", secure=False, host="shop.test")

    started.append(Started(env, *words))
    again = started[-1].wait()
    assert not re.search(r"(\w{4}-){3}\w{4}", again)
    assert "changepassword" in again


def _trusted_status(env: dict[str, str], port: int) -> int:
    """What /health answers to a client that trusts the shop's authority alone."""
    anchor = Path(env["TAUTBOOK_DATA"]) / "authority/authority.pem"
    context = ssl.create_default_context(cafile=str(anchor))
    with (
        socket.create_connection(("127.0.0.1", port), timeout=10) as raw,
        context.wrap_socket(raw, server_hostname="shop.test") as secured,
    ):
        secured.sendall(f"GET /health HTTP/1.1\r\nHost: shop.test:{port}\r\n\r\n".encode())
        answer = http.client.HTTPResponse(secured)
        answer.begin()
        return answer.status


def test_the_demo_listens_on_this_machine_alone(
    env: dict[str, str], started: list[Started]
) -> None:
    started.append(Started(env, "demo", "--small", "--port", str(free_port())))
    said = started[-1].wait()
    port = int(re.search(r"running: http://localhost:(\d+)", said)[1])
    assert re.findall(r"^  (\w+) +(?:\w{4}-){3}\w{4}$", said, re.M) == ["manager", "screenroom"]
    assert "another password" not in said
    assert "phones have seen" not in said
    assert answers(port, "/health", secure=False, host=f"localhost:{port}")
    # All of 127.0.0.0/8 is this machine, but a server bound to every address would answer here.
    with pytest.raises(OSError, match="refused"):
        socket.create_connection(("127.0.0.2", port), timeout=5)


def test_a_taken_port_is_named_with_a_remedy(env: dict[str, str], started: list[Started]) -> None:
    port = int(env["PUBLIC_ORIGIN"].rsplit(":", 1)[1])
    with socket.socket() as other:
        other.bind(("127.0.0.1", port))
        other.listen()
        one = Started(env, "start", "--landing-port", str(free_port()))
        started.append(one)
        assert one.process.wait(PATIENCE_S) == 1
        one.reader.join(PATIENCE_S)
    assert f"Port {port} is taken" in one.text
    assert "Traceback" not in one.text
