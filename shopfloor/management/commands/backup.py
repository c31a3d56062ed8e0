"""Save the shop to one file while it goes on working."""

from argparse import ArgumentParser
from pathlib import Path

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from shopfloor import backup


class Command(BaseCommand):
    help = "Save the shop to one file, while phones go on sending, and prove it by opening it."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "to",
            nargs="?",
            type=Path,
            default=settings.BACKUP_FOLDER,
            help="a folder, or a new file (default: BACKUP_FOLDER)",
        )
        parser.add_argument(
            "--passphrase-file",
            default=settings.BACKUP_PASSPHRASE_FILE,
            help="seal the backup with the passphrase in this file",
        )
        parser.add_argument(
            "--keep", type=int, help="keep so many backups in that folder, remove older ones"
        )
        parser.add_argument(
            "--with-authority",
            action="store_true",
            default=None,
            help="take the key of the certificate authority along though the file is not sealed",
        )

    def handle(self, **options: object) -> None:
        try:
            made = backup.make(
                options["to"],
                passphrase=backup.passphrase_in(options["passphrase_file"]),
                keep=options["keep"],
                with_authority=options["with_authority"],
            )
        except backup.BackupError as error:
            raise CommandError(str(error)) from None
        if options["verbosity"]:
            self.say(made)

    def say(self, made: backup.Made) -> None:
        size = made.path.stat().st_size / 1e6
        self.stdout.write(
            f"{made.path}: {made.entries} entries, {size:.1f} MB, opened and counted."
        )
        if not made.sealed:
            self.stdout.write("It is not sealed: whoever has the file has the book.")
        if not made.has_authority:
            self.stdout.write(
                "The certificate authority is not in it (sealed backups take it along)."
            )
        for path in made.pruned:
            self.stdout.write(f"Removed {path.name}, past the number to keep.")
