"""Keeps the server up: the app, the plain landing page beside it, and a fresh certificate."""

import signal
import subprocess
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from types import FrameType
from urllib.parse import urlsplit

from shopfloor import authority
from shopfloor.launch import server
from shopfloor.launch.address import Place, is_free
from shopfloor.launch.steps import Stop, say

APP = "shopfloor.wsgi:application"
LANDING = "shopfloor.landing:application"
LOOK_EVERY_S = 3600


@dataclass
class Shop:
    """One running server. `hosts` are the names that its certificate covers."""

    place: Place
    data: Path
    hosts: list[str]
    landing_port: int
    children: list[subprocess.Popen[bytes]] = field(default_factory=list)

    def check_ports(self) -> None:
        ports = [self.place.port, *([self.landing_port] if self.place.secure else [])]
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
        if tls:
            bind = self.place.bind
            self.children.append(server.start(LANDING, bind=bind, port=self.landing_port))
        host = urlsplit(self.place.origin).netloc
        server.wait_until_answering(
            app, self.place.port, "/health", secure=self.place.secure, host=host
        )

    def close(self) -> None:
        for child in self.children:
            server.stop(child)
        self.children = []

    def keep_open(self) -> int:
        """Stay until a child ends or somebody stops us; look after the certificate meanwhile."""
        while True:
            try:
                return self.children[0].wait(timeout=LOOK_EVERY_S)
            except subprocess.TimeoutExpired:
                if self.place.secure and self._ensured().renewed:
                    say("The server's certificate was renewed; starting again with the new one.")
                    self.close()
                    self.open()

    def _ensured(self) -> authority.Served:
        return authority.ensure(self.data, self.hosts, datetime.now(UTC))

    def _certificate(self) -> tuple[Path, Path]:
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
