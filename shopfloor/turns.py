"""Writers of SQLite wait for their turn: each asks often, and none until a phone gives up on it.

SQLite's own waiting looks for the lock ever more rarely, so that one writer among many can miss
every turn. PostgreSQL keeps a line itself.
"""

import time
from collections.abc import Callable
from contextvars import ContextVar
from dataclasses import dataclass, field
from typing import Any

from django.db import OperationalError
from django.http import HttpRequest, HttpResponse

# A phone gives up after 45 s, of which it may have stood at the door for 15 already.
PATIENCE_S = 15
ASK_AGAIN_MS = 50


@dataclass
class Patience:
    """What may still be waited. Work in between is no waiting."""

    left_s: float = field(default_factory=lambda: PATIENCE_S)


_of_request: ContextVar[Patience | None] = ContextVar("patience", default=None)


class OnePatience:
    """A request has one patience for all that it writes; a command one for each transaction."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        before = _of_request.set(Patience())
        try:
            return self.get_response(request)
        finally:
            _of_request.reset(before)


def watch(connection: Any, **_: Any) -> None:
    """Told by Django of each new connection."""
    if connection.vendor != "sqlite":
        return
    connection.connection.execute(f"pragma busy_timeout = {ASK_AGAIN_MS}")
    if ask_until_it_is_our_turn not in connection.execute_wrappers:
        connection.execute_wrappers.append(ask_until_it_is_our_turn)


def ask_until_it_is_our_turn(
    execute: Callable[..., Any], sql: str, params: Any, many: bool, context: dict[str, Any]
) -> Any:
    patience = _of_request.get() or Patience()
    while True:
        began = time.monotonic()
        try:
            return execute(sql, params, many, context)
        except OperationalError as error:
            patience.left_s -= time.monotonic() - began
            # in a transaction the lock is had, and half of it cannot be asked for again
            if context["connection"].in_atomic_block or not _is_locked(error):
                raise
            if patience.left_s <= 0:
                raise


def _is_locked(error: OperationalError) -> bool:
    name = getattr(error.__cause__, "sqlite_errorname", None) or ""
    return name.startswith("SQLITE_BUSY")
