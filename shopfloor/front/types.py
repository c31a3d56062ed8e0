"""Names for what an ASGI server hands over, and a whole answer to hand back."""

from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from typing import Any

Scope = dict[str, Any]
Receive = Callable[[], Awaitable[dict[str, Any]]]
Send = Callable[[dict[str, Any]], Awaitable[None]]
Headers = list[tuple[bytes, bytes]]


@dataclass(frozen=True)
class Whole:
    status: int
    headers: Headers
    body: bytes = b""

    def start(self) -> dict[str, Any]:
        return {"type": "http.response.start", "status": self.status, "headers": self.headers}


def header(scope: Scope, name: bytes) -> str:
    """The value of a header, empty if it was not sent."""
    return next(iter(every_header(scope, name)), "")


def every_header(scope: Scope, name: bytes) -> list[str]:
    return [value.decode("latin-1") for key, value in scope["headers"] if key == name]
