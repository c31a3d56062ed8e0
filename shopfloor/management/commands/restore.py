"""Put a backup back."""

import tempfile
from argparse import ArgumentParser
from pathlib import Path

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from shopfloor import backup


class Command(BaseCommand):
    help = "Put a backup back, keeping aside what is there; phones then send again what it lacks."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="a file that 'backup' made")
        parser.add_argument(
            "--passphrase-file",
            default=settings.BACKUP_PASSPHRASE_FILE,
            help="the file that holds the passphrase of a sealed backup",
        )
        parser.add_argument(
            "--replace", action="store_true", help="though there is a shop in this book already"
        )
        parser.add_argument(
            "--check", action="store_true", help="only open it and count what is in it"
        )

    def handle(self, **options: object) -> None:
        try:
            word = backup.passphrase_in(options["passphrase_file"])
            if options["check"]:
                with tempfile.TemporaryDirectory() as room:
                    self.tell(backup.check(options["file"], Path(room), word))
                self.stdout.write("It is whole.")
                return
            done = backup.restore(options["file"], passphrase=word, replace=options["replace"])
        except backup.BackupError as error:
            raise CommandError(str(error)) from None
        self.tell(done.manifest)
        self.say_what_next(done)

    def tell(self, manifest: dict) -> None:
        held = manifest["holds"]
        self.stdout.write(f"Backup of {manifest['made_at']}: {held['log']['entries']} entries.")

    def say_what_next(self, done: backup.Restored) -> None:
        if done.aside:
            self.stdout.write(f"What was there before is kept in {done.aside}.")
        origin = done.manifest["origin"]
        if origin != settings.PUBLIC_ORIGIN:
            self.stdout.write(
                f"Labels and phones know this shop as {origin}: start it under that address."
            )
        if "authority/authority.key" not in done.manifest["files"]:
            self.stdout.write(
                "The backup holds no certificate authority. Where this folder has none either, a "
                "new one is made at the start and every phone must trust it anew."
            )
        self.stdout.write("Start Tautbook: phones send again what this backup does not hold.")
