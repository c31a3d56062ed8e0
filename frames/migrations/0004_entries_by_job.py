"""Entries are found by the job that they name; those that are stored already are filed anew."""

from typing import Any
from uuid import UUID

from django.db import migrations, models


def named(raw: dict) -> UUID | None:
    """As `frames.intake.job_of` stood when this was written."""
    subject, payload = raw["subject"] or {}, raw["payload"]
    inner = payload.get("payload") if raw["kind"] == "correction" else payload
    job = subject.get("id") if subject.get("kind") == "job" else None
    if job is None and isinstance(inner, dict):
        job = inner.get("job")
    try:
        return UUID(job) if isinstance(job, str) else None
    except ValueError:
        return None


def file_by_job(apps: Any, schema_editor: Any) -> None:
    Entry = apps.get_model("frames", "Entry")
    found = []
    for row in Entry.objects.only("pk", "raw").iterator(chunk_size=2000):
        row.job_id = named(row.raw)
        if row.job_id:
            found.append(row)
    Entry.objects.bulk_update(found, ["job_id"], batch_size=500)


class Migration(migrations.Migration):
    dependencies = [("frames", "0003_derived")]

    operations = [
        migrations.AddField(
            model_name="entry",
            name="job_id",
            field=models.UUIDField(db_index=True, null=True),
        ),
        migrations.RunPython(file_by_job, migrations.RunPython.noop, elidable=True),
    ]
