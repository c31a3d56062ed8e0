"""Proves the book and says what it found."""

from collections.abc import Iterator

from django.core.management.base import BaseCommand, CommandError

from frames import audit, derived
from frames.models import Entry, Feed


class Command(BaseCommand):
    help = "Check digests, numbering, feed and state against each other; changes nothing."

    def findings(self) -> Iterator[audit.Finding]:
        """Where entries are damaged, what follows from them cannot be judged."""
        sound = True
        for finding in audit.findings():
            sound = sound and not finding.about.startswith("entry ")
            yield finding
        if sound:
            yield from (audit.Finding(*found) for found in derived.findings())

    def handle(self, **_: object) -> None:
        trouble = 0
        for finding in self.findings():
            trouble += finding.is_trouble
            word = "TROUBLE" if finding.is_trouble else "note"
            self.stdout.write(f"{word}: {finding.about} {finding.text}")
        if trouble:
            raise CommandError(
                f"{trouble} contradictions. Stop the server, keep a copy of the database, and see"
                " README.md: restore a backup, or run rebuild_state if only state is named"
                " (then derive --anew if what is derived stays wrong)."
            )
        entries, changes = Entry.objects.count(), Feed.objects.count()
        self.stdout.write(f"All is well: {entries} entries, {changes} changes in the feed.")
