"""Decides where Tautbook listens and what it is called. Standard library only.

`PUBLIC_ORIGIN` is the one source for labels, enrolment and the code in the terminal; a launching
command settles it in the process's environment before the settings are read.
"""

import argparse
import ipaddress
import os
import socket
from dataclasses import dataclass
from urllib.parse import urlsplit

from shopfloor import places
from shopfloor.launch.steps import Stop

PLAIN_PORT, SECURE_PORT, LANDING_PORT = 8000, 8443, 8080
# RFC 5737 keeps this address for documentation: nobody has it, and nothing is sent to it.
_FAR_AWAY = ("192.0.2.1", 9)


@dataclass(frozen=True)
class Place:
    """Where to listen: `secure` means with the shop's own certificate."""

    origin: str
    bind: str
    port: int
    secure: bool

    @property
    def host(self) -> str:
        return urlsplit(self.origin).hostname or ""

    def landing(self, port: int) -> str:
        host = f"[{self.host}]" if ":" in self.host else self.host
        return f"http://{host}:{port}"


def add_options(parser: argparse.ArgumentParser, command: str) -> None:
    parser.add_argument("--port", type=int, help="port to listen on")
    if command == "demo":
        parser.add_argument(
            "--lan", action="store_true", help="let phones on this network in, over https"
        )
    parser.add_argument(
        "--landing-port",
        type=int,
        default=LANDING_PORT,
        help=f"port of the plain page that hands out the certificate ({LANDING_PORT})",
    )
    parser.add_argument(
        "--new-authority",
        action="store_true",
        help="make a new certificate authority; every phone must then install it again",
    )


def settle(command: str, argv: list[str]) -> None:
    """Fix `PUBLIC_ORIGIN` (and the demo's data folder) in the environment."""
    if command == "verify":
        return
    parser = argparse.ArgumentParser(add_help=False)
    add_options(parser, command)
    options, _ = parser.parse_known_args(argv)
    if command == "demo":
        os.environ.setdefault("TAUTBOOK_DATA", str(places.DATA / "demo"))
        os.environ["PUBLIC_ORIGIN"] = _demo_origin(options.lan, options.port)
        return
    os.environ.setdefault("TAUTBOOK_DATA", str(places.DATA))
    if "PUBLIC_ORIGIN" not in os.environ:
        raise Stop(
            "PUBLIC_ORIGIN is not set. It is the address under which phones will reach this "
            "machine, and it is printed on every label, so choose a name that will stay. "
            f"For example: PUBLIC_ORIGIN=https://tautbook.lan:8443 {places.COMMAND} start"
        )


def _demo_origin(lan: bool, port: int | None) -> str:
    if not lan:
        return f"http://localhost:{port or free_port(PLAIN_PORT)}"
    if origin := os.environ.get("PUBLIC_ORIGIN"):
        return origin
    return f"https://{lan_address()}:{port or free_port(SECURE_PORT)}"


def place(origin: str, *, port: int | None = None, behind_proxy: bool = False) -> Place:
    """Where to listen for that origin."""
    parts = urlsplit(origin)
    secure = parts.scheme == "https"
    if behind_proxy:
        return Place(origin, "127.0.0.1", port or PLAIN_PORT, False)
    if not secure and not is_loopback(parts.hostname or ""):
        raise Stop(
            f"PUBLIC_ORIGIN is {origin}: over plain http a phone has neither camera nor offline "
            "mode. Use https://, or set BEHIND_PROXY=1 where another server does the https."
        )
    bind = "0.0.0.0" if secure else "127.0.0.1"
    return Place(origin, bind, port or parts.port or (443 if secure else 80), secure)


def is_loopback(host: str) -> bool:
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


def lan_address() -> str:
    """This machine's address on its network: the one it would speak from."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(_FAR_AWAY)
        except OSError:
            raise Stop(
                "This machine is on no network. Join one, or name its address yourself: "
                f"PUBLIC_ORIGIN=https://NAME:8443 {places.COMMAND} demo --lan"
            ) from None
        return str(probe.getsockname()[0])


def free_port(first: int) -> int:
    """The first free port of ten from `first` on."""
    for port in range(first, first + 10):
        if is_free(port):
            return port
    raise Stop(f"Ports {first} to {first + 9} are all taken. Name a free one with --port.")


def is_free(port: int) -> bool:
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
        if os.name != "nt":
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind(("0.0.0.0", port))
        except OSError:
            return False
        return True
