"""Measures on one fresh database: `python -m tests.bench.measuring push office`, rows as JSON.

Started by `tests.bench`, which gives each its own DATABASE_URL and TAUTBOOK_DATA.
"""

import importlib
import json
import os
import sys

import django

PARTS = {"push": "pushing", "office": "office", "labels": "labels", "chromium": "chromium"}


def connect() -> None:
    """Django on the database of DATABASE_URL, with the hosts and mail of tests."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shopfloor.settings")
    django.setup()
    from django.test.utils import setup_test_environment

    setup_test_environment()


def empty() -> None:
    """Every table there, and nothing in it."""
    from django.core.management import call_command

    call_command("migrate", verbosity=0)
    call_command("flush", interactive=False, verbosity=0)


def main(parts: list[str]) -> None:
    connect()
    for part in parts:
        empty()
        for row in importlib.import_module(f"tests.bench.{PARTS[part]}").rows():
            print(json.dumps(row.body()), flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
