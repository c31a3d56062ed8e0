"""The order of a start: prepare, fill, open, announce, stay."""

from collections.abc import Callable
from datetime import UTC, datetime
from functools import partial

from django.core.management.base import CommandError

from shopfloor import authority
from shopfloor.launch import announcing, preparing, running
from shopfloor.launch.steps import Stop


def start(
    options: dict[str, object],
    fill: Callable[[], dict[str, str]],
    look_after: Callable[[], None] | None = None,
) -> int:
    """Run until stopped; the exit code. `fill` sees to data and accounts, gives new passwords.

    `look_after` is called every hour.
    """
    try:
        shop = preparing.prepare(options)
        shop.look_after = look_after
        passwords = fill()
        if options["new_authority"] and shop.vouches:
            authority.create(shop.data, shop.hosts, datetime.now(UTC))
        return running.run(shop, partial(announcing.announce, shop, passwords))
    except Stop as reason:
        raise CommandError(str(reason)) from None
