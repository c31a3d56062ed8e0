"""Backups that nobody has to think of: before an upgrade, and every so many hours."""

from datetime import timedelta

from django.conf import settings
from django.db import connection
from django.db.migrations.executor import MigrationExecutor
from django.utils import timezone

from shopfloor import backup
from shopfloor.launch.steps import Stop, say, step


def before_upgrade() -> None:
    """Save a shop whose database this version is about to change; without that, stop."""
    executor = MigrationExecutor(connection)
    pending = executor.migration_plan(executor.loader.graph.leaf_nodes())
    if not pending or not executor.loader.applied_migrations:
        return
    try:
        with step("Backup before the upgrade") as notes:
            notes.append(str(_make(backup.BEFORE_UPGRADE).path))
    except backup.BackupError as reason:
        raise Stop(f"Nothing was upgraded, as no backup could be made first: {reason}") from None


def if_due() -> None:
    """Make a backup where the newest is too old; a failure is told and never stops the shop."""
    every = timedelta(hours=settings.BACKUP_EVERY_HOURS)
    now = timezone.now()
    newest = backup.newest(settings.BACKUP_FOLDER, now)
    if not every or (newest and now - newest < every):
        return
    try:
        made = _make()
        say(f"Backup: {made.path}, {made.entries} entries.")
    except backup.BackupError as reason:
        say(f"No backup was made: {reason}")


def _make(why: str = "") -> backup.Made:
    return backup.make(
        settings.BACKUP_FOLDER,
        passphrase=backup.passphrase_in(settings.BACKUP_PASSPHRASE_FILE),
        keep=settings.BACKUP_KEEP,
        why=why,
    )
