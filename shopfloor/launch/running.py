"""Keeps the server up: the app, the plain landing page beside it, and a fresh certificate."""

import signal
import subprocess
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from itertools import count
from pathlib import Path
from types import FrameType
from urllib.parse import urlsplit

from shopfloor import authority
from shopfloor.launch import server
from shopfloor.launch.address import Place, is_free
from shopfloor.launch.steps import Stop, say

APP = "shopfloor.asgi:application"
LANDING = "shopfloor.landing:application"
LOOK_EVERY_S = 3600
TEND_EVERY_S = 15


@dataclass
class Shop:
    """One running server. `hosts` are the names that its certificate covers.

    `own_certificate` is a chain and a key that the shop brought along, in place of its authority;
    `look_after` is what else is looked after every hour.
    """

    place: Place
    data: Path
    hosts: list[str]
    landing_port: int
    own_certificate: tuple[Path, Path] | None = None
    look_after: Callable[[], None] | None = None
    children: list[subprocess.Popen[bytes]] = field(default_factory=list)
    worker: subprocess.Popen[bytes] | None = None
    served_since: float = 0.0

    @property
    def vouches(self) -> bool:
        """Whether it serves by its own authority, which phones must be handed."""
        return self.place.secure and not self.own_certificate

    def check_ports(self) -> None:
        ports = [self.place.port, *([self.landing_port] if self.vouches else [])]
        for port in ports:
            if not is_free(port):
                raise Stop(
                    f"Port {port} is taken: is Tautbook running already? If another program has "
                    "it, name a free one with --port (or --landing-port)."
                )

    def open(self) -> None:
        """Start everything and return when it answers."""
        tls = self._certificate() if self.place.secure else None
        app = server.start(APP, bind=self.place.bind, port=self.place.port, tls=tls)
        self.children = [app]
        if self.vouches:
            how = {"bind": self.place.bind, "port": self.landing_port, "interface": server.WSGI}
            self.children.append(server.start(LANDING, **how))
        host = urlsplit(self.place.origin).netloc
        server.wait_until_answering(
            app, self.place.port, "/health", secure=self.place.secure, host=host
        )
        self.worker = server.start_worker()

    def close(self) -> None:
        for child in [*self.children, *([self.worker] if self.worker else [])]:
            server.stop(child)
        self.children, self.worker = [], None

    def keep_open(self) -> int:
        """Stay until the server ends or somebody stops us; look after the rest meanwhile."""
        for tick in count(1):
            try:
                return self.children[0].wait(timeout=TEND_EVERY_S)
            except subprocess.TimeoutExpired:
                self._tend_worker()
                if tick % (LOOK_EVERY_S // TEND_EVERY_S) == 0:
                    self._look_after()
        raise AssertionError("counting never ends")

    def _tend_worker(self) -> None:
        """Pages and phones do without the worker for a while, so it never takes the server down."""
        if self.worker and self.worker.poll() is not None:
            self.worker = server.start_worker()

    def _look_after(self) -> None:
        if self.look_after:
            self.look_after()
        if self.place.secure and self._is_renewed():
            say("The server's certificate was renewed; starting again with the new one.")
            self.close()
            self.open()

    def _is_renewed(self) -> bool:
        if self.own_certificate:
            return self.served_since < self.own_certificate[0].stat().st_mtime
        return self._ensured().renewed

    def _ensured(self) -> authority.Served:
        return authority.ensure(self.data, self.hosts, datetime.now(UTC))

    def _certificate(self) -> tuple[Path, Path]:
        if self.own_certificate:
            self.served_since = self.own_certificate[0].stat().st_mtime
            return self.own_certificate
        try:
            served = self._ensured()
        except authority.AuthorityError as reason:
            raise Stop(str(reason)) from None
        return served.certificate, served.key


def run(shop: Shop, announce: Callable[[], None]) -> int:
    """Open, announce, and stay until stopped by Ctrl-C or a signal; the exit code."""
    signal.signal(signal.SIGTERM, _interrupt)
    try:
        shop.open()
        announce()
        return shop.keep_open()
    except KeyboardInterrupt:
        say("\nStopping. Phones keep what they hold and send it when Tautbook is back.")
        return 0
    finally:
        shop.close()


def _interrupt(number: int, frame: FrameType | None) -> None:
    raise KeyboardInterrupt
