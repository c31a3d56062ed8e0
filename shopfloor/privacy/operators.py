"""What is known under an operator's name: given out as a file, and forgotten."""

from typing import Any

from frames import forgetting
from frames.models import Entry, Feed, Operator

Json = dict[str, Any]


def export(operator: Operator) -> Json:
    """Everything that the book holds about an operator, for them to take along."""
    told = Feed.objects.filter(type="thing", kind="operator", object_id=operator.pk)
    return {
        "operator": operator.body(),
        "earlier_versions": [row.body for row in told.order_by("seq")],
        "entries": [entry.body() for entry in forgetting.written_under(operator.pk)],
        "mentioned_in": [_place(entry) for entry in forgetting.mentions(operator.name)],
    }


def _place(entry: Entry) -> Json:
    return {"entry": str(entry.pk), "kind": entry.kind, "occurred_at": entry.raw["occurred_at"]}
