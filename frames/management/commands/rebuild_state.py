"""Folds the whole log anew, as after an update that knows more kinds of entry."""

from django.core.management.base import BaseCommand

from frames import state


class Command(BaseCommand):
    help = "Fold the whole log anew; only what turns out different is written and told to phones."

    def handle(self, **_: object) -> None:
        changed = state.rebuild()
        said = "State was right." if changed == 0 else f"State differed: {changed} changes told."
        self.stdout.write(said)
