"""Derives what the mechanics makes of the log."""

from argparse import ArgumentParser

from django.core.management.base import BaseCommand

from frames import derived


class Command(BaseCommand):
    help = "Derive estimates and forecasts that are due; --watch stays and follows the log."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--watch", action="store_true", help="stay, and derive after entries")
        parser.add_argument("--anew", action="store_true", help="with factors as learned by now")

    def handle(self, *, watch: bool, anew: bool, **_: object) -> None:
        if watch:
            derived.watch()
            return
        _, written = derived.follow_up(None, anew=anew)
        said = "Everything was derived already." if not written else f"Derived: {written} written."
        self.stdout.write(said)
