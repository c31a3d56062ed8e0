"""Folds the whole log anew, as after an update that knows more kinds of entry."""

from argparse import ArgumentParser

from django.core.management.base import BaseCommand

from frames import state_version
from frames.models import Entry


class Command(BaseCommand):
    help = "Fold the whole log anew; only what turns out different is written and told to phones."

    def add_arguments(self, parser: ArgumentParser) -> None:
        told = "only if another version folded it last; 'start' and 'restore' do this"
        parser.add_argument("--if-due", action="store_true", help=told)

    def handle(self, *, if_due: bool, **_: object) -> None:
        if if_due and state_version.is_current():
            return
        # an empty book has nothing to tell of: it only notes by which rules it begins
        is_told = not if_due or Entry.objects.exists()
        if if_due and is_told:
            self.stdout.write("  New rules for reading the log: every frame is worked out anew.")
            self.stdout.write("  A million entries take two minutes; nothing in the log changes.")
            self.stdout.flush()
        changed = state_version.rebuild(if_due=if_due)
        if is_told:
            differed = f"State differed: {changed} changes told."
            self.stdout.write(differed if changed else "State was right.")
