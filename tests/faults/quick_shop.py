"""The real server as in `ShopProcess`, started in a tenth of the time, for tests that often do."""

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

from shopfloor.launch import server
from shopfloor.launch.running import APP
from tests.shop_process import ROOT, ShopProcess

NURSERY = "tests.faults.nursery"


class Forked:
    """A process that the nursery forked; so much of a `Popen` as is used of it."""

    def __init__(self, shop: "QuickShop", order: str) -> None:
        self.shop = shop
        self.pid = int(shop.order(order))
        self.returncode: int | None = None

    def poll(self) -> int | None:
        return self._ended(f"ended {self.pid}")

    def wait(self, timeout: float | None = None) -> int | None:
        if timeout is None:
            return self._ended(f"wait {self.pid}")
        end = time.monotonic() + timeout
        while self.poll() is None:
            if time.monotonic() > end:
                raise subprocess.TimeoutExpired(str(self.pid), timeout)
            time.sleep(0.01)
        return self.returncode

    def _ended(self, order: str) -> int | None:
        if self.returncode is None:
            said = self.shop.order(order)
            self.returncode = int(said) if said else None
        return self.returncode

    def terminate(self) -> None:
        os.kill(self.pid, signal.SIGTERM)

    def kill(self) -> None:
        os.kill(self.pid, signal.SIGKILL)


class QuickShop(ShopProcess):
    """Plain http; `close` ends the nursery as well."""

    def __init__(self, data: Path) -> None:
        super().__init__(data)
        granian = server.command(APP, "127.0.0.1", self.port, None)
        words = granian[granian.index("granian") + 1 :]
        pipe = subprocess.PIPE
        with (data / "server.log").open("ab") as log:
            self.nursery = subprocess.Popen(
                [sys.executable, "-m", NURSERY, *words],
                **{"cwd": ROOT, "env": self.env, "stdin": pipe, "stdout": pipe, "stderr": log},
                text=True,
                bufsize=1,
            )

    def order(self, order: str) -> str:
        assert self.nursery.stdin
        assert self.nursery.stdout
        self.nursery.stdin.write(f"{order}\n")
        self.nursery.stdin.flush()
        line = self.nursery.stdout.readline()
        assert line, f"the nursery ended; {self.data / 'server.log'} says why"
        return line.strip()

    def start(self) -> "QuickShop":
        self.process = Forked(self, "start")
        host = f"{self.host}:{self.port}"
        server.wait_until_answering(self.process, self.port, "/health", secure=False, host=host)
        return self

    def python(self, source: str) -> str:
        """Run a few lines on this server's data; what they print goes to the server's log."""
        code = Forked(self, f"run {json.dumps(source)}").wait()
        assert code == 0, f"ended with {code}: see {self.data / 'server.log'}\n{source}"
        return ""

    def close(self) -> None:
        self.kill()
        assert self.nursery.stdin
        self.nursery.stdin.close()
        self.nursery.wait(timeout=10)
