"""Loads an invented shop through the same doors as everybody else's data."""

import json
import subprocess
import sys
import tempfile
from argparse import ArgumentParser
from collections.abc import Iterator
from datetime import datetime, timedelta
from itertools import groupby
from pathlib import Path
from typing import Any
from uuid import UUID

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.db import transaction
from django.utils import timezone

from frames import log, things
from frames.models import Shop

Json = dict[str, Any]
OPENED_DAYS_AGO = 200
BATCH = 100


class Command(BaseCommand):
    help = "Load the demo shop into an empty book; its times are told from the day of loading."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--folder", type=Path, default=settings.BASE_DIR / "demo_fixtures")
        parser.add_argument("--full", action="store_true", help="the shop at full size")
        parser.add_argument("--now", type=datetime.fromisoformat, help="load as if it were then")

    def handle(self, *, folder: Path, full: bool, now: datetime | None, **options: Any) -> None:
        if Shop.objects.exists():
            raise CommandError("There is a shop in this book already: the demo needs an empty one.")
        now = timezone.localtime(now or timezone.now())
        with tempfile.TemporaryDirectory() as told, transaction.atomic():
            source = tell_full(Path(told)) if full else folder
            made = load_things(source / "things.json", now)
            stored = load_log(source / "log.jsonl", now)
        if options["verbosity"]:
            self.stdout.write(f"Loaded the demo shop: {made} things, {stored} entries.")


def tell_full(folder: Path) -> Path:
    """Its files are told from a seed in a second; kept, they would be larger than all the rest."""
    command = [sys.executable, "-m", "demo_fixtures.generate.full", str(folder)]
    subprocess.run(command, cwd=settings.BASE_DIR, check=True)
    return folder


def load_things(path: Path, now: datetime) -> int:
    listed = json.loads(path.read_text(encoding="utf-8"))
    opened = now - timedelta(days=OPENED_DAYS_AGO)
    for thing in listed:
        values = {name: _dated(value, now) for name, value in thing["values"].items()}
        things.create(thing["kind"], values, "demo", at=opened, id=UUID(thing["id"]))
    return len(listed)


def load_log(path: Path, now: datetime) -> int:
    """In the order and in the batches in which phones sent it."""
    lines = [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]
    for (device, received), batch in _batches(lines):
        raws = [_dated(line["entry"], now) for line in batch]
        received_at = moment(json.loads(received), now)
        receipts = log.append(raws, device=device, received_at=received_at)
        if refused := [receipt.problem for receipt in receipts if receipt.status == "refused"]:
            raise CommandError(f"The demo log does not fit this version: {refused[0]}")
    return len(lines)


def _batches(lines: list[Json]) -> Iterator[tuple[tuple[str, str], list[Json]]]:
    """Lines that one phone sent together, at most as many as a push may hold."""
    for key, together in groupby(
        lines, lambda line: (line["device"], json.dumps(line["received"]))
    ):
        waiting = list(together)
        for start in range(0, len(waiting), BATCH):
            yield key, waiting[start : start + BATCH]


def _dated(value: Any, now: datetime) -> Any:
    """The same value with every told moment as a time, every `in_days` as a date."""
    if isinstance(value, list):
        return [_dated(inner, now) for inner in value]
    if not isinstance(value, dict):
        return value
    if "days_ago" in value or "minutes_ago" in value:
        return moment(value, now).isoformat(timespec="milliseconds")
    if "in_days" in value:
        return (now.date() + timedelta(days=value["in_days"])).isoformat()
    return {name: _dated(inner, now) for name, inner in value.items()}


def moment(told: Json, now: datetime) -> datetime:
    """`{"minutes_ago"}` before now, or `{"days_ago", "time"}` by the clock of now's zone."""
    if "minutes_ago" in told:
        return now - timedelta(minutes=told["minutes_ago"])
    day = now.date() - timedelta(days=told["days_ago"])
    return datetime.fromisoformat(f"{day}T{told['time']}").replace(tzinfo=now.tzinfo)
