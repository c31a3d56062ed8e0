"""Run every test: Python, JavaScript and browser."""

import os
import subprocess
import sys
import tempfile
from argparse import REMAINDER, ArgumentParser

from django.core.management.base import BaseCommand

from shopfloor.launch import pages
from shopfloor.places import ROOT

# Files of tests are shared out to as many workers as there are cores, at most four.
SHARED_OUT = ["-n", str(min(4, os.cpu_count() or 1)), "--dist", "loadfile"]


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
            # Built before the workers start: none of them finds another one's build half done.
            pages.build(tools=True)
            command = [sys.executable, "-m", "pytest", *(words or SHARED_OUT)]
            sys.exit(subprocess.run(command, cwd=ROOT, env=env).returncode)
