"""Set everything up, load the demo shop and start."""

import sys
from argparse import ArgumentParser
from functools import partial

from django.core.management import call_command
from django.core.management.base import BaseCommand

from frames.models import Shop as ShopThing
from shopfloor.launch import address, people, starting
from shopfloor.launch.steps import step

ACCOUNTS = {"manager": "manager", "screenroom": "screen room"}


class Command(BaseCommand):
    help = "Set everything up, load the demo shop and start. A second run keeps the data."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        address.add_options(parser, "demo")
        parser.add_argument(
            "--small", action="store_true", help="load twelve frames instead of forty"
        )

    def handle(self, **options: object) -> None:
        sys.exit(starting.start(options, partial(fill, full=not options["small"])))


def fill(full: bool) -> dict[str, str]:
    """Load the demo shop where there is no shop yet; the new accounts' passwords."""
    if not ShopThing.objects.exists():
        with step("Demo shop"):
            call_command("load_demo", verbosity=0, full=full)
    return people.make_accounts(ACCOUNTS, to_stay=True)
