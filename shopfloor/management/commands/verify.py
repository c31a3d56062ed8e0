"""Run every test: Python, JavaScript and browser."""

import os
import subprocess
import sys
import tempfile
from argparse import REMAINDER, ArgumentParser

from django.core.management.base import BaseCommand

from shopfloor.places import ROOT


class Command(BaseCommand):
    help = "Set up what tests need and run them all. Words after 'verify' go to pytest."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("words", nargs=REMAINDER, help="arguments for pytest")

    def handle(self, *, words: list[str], **options: object) -> None:
        # Tests never touch the data of a shop that is run from this folder.
        with tempfile.TemporaryDirectory(prefix="tautbook-tests-") as data:
            kept = ("DATABASE_URL", "PUBLIC_ORIGIN", "ALLOWED_HOSTS", "BEHIND_PROXY", "DEBUG")
            env = {name: value for name, value in os.environ.items() if name not in kept}
            env["TAUTBOOK_DATA"] = data
            command = [sys.executable, "-m", "pytest", *words]
            sys.exit(subprocess.run(command, cwd=ROOT, env=env).returncode)
