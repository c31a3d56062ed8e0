"""Start Tautbook for a real shop, under PUBLIC_ORIGIN."""

import sys
from argparse import ArgumentParser

from django.contrib.auth.models import User
from django.core.management.base import BaseCommand
from django.utils import timezone

from shopfloor.launch import address, people, saving, starting
from shopfloor.privacy import tidying


class Command(BaseCommand):
    help = "Start Tautbook for a real shop, under PUBLIC_ORIGIN. Sets up what is missing."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        address.add_options(parser, "start")

    def handle(self, **options: object) -> None:
        sys.exit(starting.start(options, first_account, look_after))


def look_after() -> None:
    """What is due every hour."""
    tidying.tidy(timezone.now())
    saving.if_due()


def first_account() -> dict[str, str]:
    """A manager's account where nobody has one yet."""
    return {} if User.objects.exists() else people.make_accounts({"manager": "manager"})
