"""The order of a start: prepare, fill, open, announce, stay."""

from collections.abc import Callable
from datetime import UTC, datetime
from functools import partial

from django.core.management.base import CommandError

from shopfloor import authority
from shopfloor.launch import announcing, preparing, running
from shopfloor.launch.steps import Stop


def start(options: dict[str, object], fill: Callable[[], dict[str, str]]) -> int:
    """Run until stopped; the exit code. `fill` sees to data and accounts, gives new passwords."""
    try:
        shop = preparing.prepare(options)
        passwords = fill()
        if options["new_authority"] and shop.place.secure:
            authority.create(shop.data, shop.hosts, datetime.now(UTC))
        return running.run(shop, partial(announcing.announce, shop, passwords))
    except Stop as reason:
        raise CommandError(str(reason)) from None
