"""Set everything up, load the demo shop and start."""

import sys
from argparse import ArgumentParser

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

    def handle(self, **options: object) -> None:
        sys.exit(starting.start(options, fill))


def fill() -> dict[str, str]:
    """Load the demo shop where there is no shop yet; the new accounts' passwords."""
    if not ShopThing.objects.exists():
        with step("Demo shop"):
            call_command("load_demo", verbosity=0)
    return people.make_accounts(ACCOUNTS)
