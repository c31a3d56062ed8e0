"""The real server as its own process, with a data folder of its own, to stop, kill and restart."""

import os
import shutil
import signal
import socket
import sqlite3
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

from shopfloor import authority
from shopfloor.launch import server
from shopfloor.launch.running import APP

ROOT = Path(__file__).resolve().parents[1]
DATABASE = "tautbook.sqlite3"
OWN = ("DATABASE_URL", "PUBLIC_ORIGIN", "ALLOWED_HOSTS", "BEHIND_PROXY", "DEBUG", "TIME_ZONE")


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


class ShopProcess:
    """A server on the loopback address; `secure` serves https with the shop's own authority."""

    def __init__(self, data: Path, *, host: str = "localhost", secure: bool = False) -> None:
        self.data, self.host, self.secure = data, host, secure
        self.port = free_port()
        self.origin = f"{'https' if secure else 'http'}://{host}:{self.port}"
        self.process: subprocess.Popen[bytes] | None = None

    @property
    def env(self) -> dict[str, str]:
        kept = {name: value for name, value in os.environ.items() if name not in OWN}
        return {**kept, "TAUTBOOK_DATA": str(self.data), "PUBLIC_ORIGIN": self.origin}

    def manage(self, *words: str, text: str | None = None) -> str:
        """Run a management command on this server's data; what it printed."""
        done = subprocess.run(
            [sys.executable, "manage.py", *words],
            **{"cwd": ROOT, "env": self.env, "input": text, "capture_output": True, "text": True},
            timeout=300,
        )
        assert done.returncode == 0, f"manage.py {' '.join(words)}:\n{done.stdout}\n{done.stderr}"
        return done.stdout

    def python(self, source: str) -> str:
        """Run a few lines with Django set up on this server's data; what they printed."""
        return self.manage("shell", "--verbosity", "0", text=source)

    def start(self) -> "ShopProcess":
        tls = None
        if self.secure:
            served = authority.ensure(self.data, [self.host], datetime.now(UTC))
            tls = (served.certificate, served.key)
        log = (self.data / "server.log").open("ab")
        command = server.command(APP, "127.0.0.1", self.port, tls)
        # A session of its own lets `kill` reach the worker together with its parent.
        self.process = subprocess.Popen(
            command, cwd=ROOT, env=self.env, stdout=log, stderr=log, start_new_session=True
        )
        host = f"{self.host}:{self.port}"
        server.wait_until_answering(
            self.process, self.port, "/health", secure=self.secure, host=host
        )
        return self

    def stop(self) -> None:
        """End as a person would end it: what is being answered is finished."""
        if self.process:
            server.stop(self.process)
            self.process = None

    def kill(self) -> None:
        """End as a power cut would."""
        if self.process:
            os.killpg(self.process.pid, signal.SIGKILL)
            self.process.wait()
            self.process = None

    def restart(self) -> None:
        self.stop()
        self.start()

    def copy_database(self, to: Path) -> None:
        """A consistent copy, whether or not the server runs."""
        with sqlite3.connect(self.data / DATABASE) as here, sqlite3.connect(to) as there:
            here.backup(there)
        there.close()
        here.close()

    def put_database_back(self, copy: Path) -> None:
        """Restore an earlier copy, as somebody would by hand, while the server is stopped."""
        assert self.process is None, "stop the server first"
        for leftover in self.data.glob(f"{DATABASE}*"):
            leftover.unlink()
        shutil.copy(copy, self.data / DATABASE)

    def log(self) -> str:
        return (self.data / "server.log").read_text("utf-8", "replace")
