"""Entries that wait for their mesh are in the log alone: frames held them whole, in every change."""

from typing import Any

from django.db import migrations

AT_ONCE = 200


def take_out(apps: Any, schema_editor: Any) -> None:
    """In place: a phone keeps no such body, and places in the feed stay."""
    frames = apps.get_model("frames", "FrameState").objects.all()
    told = apps.get_model("frames", "Feed").objects.filter(type="state", kind="frame")
    for rows, key in ((frames, "frame"), (told.exclude(body=None), "seq")):
        last: Any = None
        while part := list(after(rows, key, last)):
            for row in part:
                row.body.pop("pending", None)
            rows.model.objects.bulk_update(part, ["body"], batch_size=AT_ONCE)
            last = getattr(part[-1], key)


def after(rows: Any, key: str, last: Any) -> Any:
    following = rows if last is None else rows.filter(**{f"{key}__gt": last})
    return following.order_by(key)[:AT_ONCE]


class Migration(migrations.Migration):
    dependencies = [("frames", "0008_folded_by")]

    operations = [migrations.RunPython(take_out, migrations.RunPython.noop, elidable=True)]
