"""Runs the real server, granian, as a child process. Standard library only."""

import http.client
import os
import ssl
import subprocess
import sys
import time
from collections.abc import Mapping
from pathlib import Path

from shopfloor import places
from shopfloor.launch import connections
from shopfloor.launch.steps import Stop

PATIENCE_S = 30
# Without the lifespan messages, which nothing of ours listens to.
ASGI, WSGI = "asginl", "wsgi"


def command(
    target: str, bind: str, port: int, tls: tuple[Path, Path] | None, interface: str = ASGI
) -> list[str]:
    """Granian's command line for a `target`, for a child of this process; `tls` is certificate
    chain and key."""
    parts = [
        *(sys.executable, "-m", "granian", "--interface", interface, "--no-ws", "--workers", "1"),
        *("--host", bind, "--port", str(port), "--working-dir", str(places.ROOT)),
        *("--log-level", "warning", "--respawn-failed-workers", *connections.settings()),
    ]
    if interface == WSGI:
        # the page before https is small and nobody waits behind it
        parts += ["--blocking-threads", "2"]
    if tls:
        parts += ["--ssl-certificate", str(tls[0]), "--ssl-keyfile", str(tls[1])]
    return [*parts, target]


def start(
    target: str,
    *,
    bind: str,
    port: int,
    tls: tuple[Path, Path] | None = None,
    interface: str = ASGI,
    env: Mapping[str, str] | None = None,
) -> subprocess.Popen[bytes]:
    """Start it and return at once; `answers` tells when it is ready."""
    return subprocess.Popen(
        command(target, bind, port, tls, interface),
        cwd=places.ROOT,
        env=environment() if env is None else dict(env),
    )


def start_worker() -> subprocess.Popen[bytes]:
    """Start what derives estimates and forecasts beside the server; it ends when we do."""
    command = [sys.executable, "-m", "django", "derive", "--watch"]
    env = {**environment(), "DJANGO_SETTINGS_MODULE": "shopfloor.settings"}
    return subprocess.Popen(command, cwd=places.ROOT, env=env)


def environment() -> dict[str, str]:
    """Ours, with one thread for sums: small systems are solved slower by many."""
    return {"OPENBLAS_NUM_THREADS": "1", **os.environ}


def wait_until_answering(
    process: subprocess.Popen[bytes], port: int, path: str, *, secure: bool, host: str
) -> None:
    """Return when the server answers on the loopback address, with whatever status."""
    began = time.monotonic()
    while time.monotonic() - began < PATIENCE_S:
        if process.poll() is not None:
            raise Stop(f"The server ended at once with code {process.returncode}; see above.")
        if answers(port, path, secure=secure, host=host):
            return
        time.sleep(0.05)
    stop(process)
    raise Stop(f"The server did not answer within {PATIENCE_S} s.")


def answers(port: int, path: str, *, secure: bool, host: str) -> bool:
    if secure:
        # Only whether it is up: whom the certificate convinces is the phones' business.
        context = ssl._create_unverified_context()
        link = http.client.HTTPSConnection("127.0.0.1", port, timeout=5, context=context)
    else:
        link = http.client.HTTPConnection("127.0.0.1", port, timeout=5)
    try:
        link.request("GET", path, headers={"Host": host})
        link.getresponse().read()
    except OSError:
        return False
    finally:
        link.close()
    return True


def stop(process: subprocess.Popen[bytes]) -> None:
    """Ask it to finish what it is doing, then insist."""
    process.terminate()
    try:
        process.wait(timeout=10)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait()
