"""Run every test: Python, JavaScript and browser."""

import sys
from argparse import REMAINDER, ArgumentParser

from django.core.management.base import BaseCommand

from shopfloor.launch import pages, testing


class Command(BaseCommand):
    help = "Set up what tests need and run them all. Words after 'verify' go to pytest."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("words", nargs=REMAINDER, help="arguments for pytest")

    def handle(self, *, words: list[str], **options: object) -> None:
        # Built before the workers start: none of them finds another one's build half done.
        pages.build(tools=True)
        sys.exit(testing.run(words))
