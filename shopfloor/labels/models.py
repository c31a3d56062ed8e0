"""Whose labels were made, when and by whom: a second label may end up in the wrong place."""

from collections.abc import Iterable
from datetime import datetime, timedelta
from typing import Self
from uuid import UUID

from django.db import models

# The same person asks again because the printer jammed: that is no second label.
SAME_TURN = timedelta(minutes=15)


class LabelPrintQuerySet(models.QuerySet):
    def before(self, frames: Iterable[UUID], by_name: str, now: datetime) -> Self:
        """Earlier labels of these frames, newest first, but for the turn that is going on."""
        this_turn = models.Q(by_name=by_name, at__gt=now - SAME_TURN)
        return self.filter(frame__in=list(frames)).exclude(this_turn).order_by("-at", "-pk")


class LabelPrint(models.Model):
    """One line each time labels of a frame are made; never edited."""

    frame = models.UUIDField(db_index=True)
    at = models.DateTimeField()
    by_name = models.CharField(max_length=150)
    onto = models.CharField(max_length=60)
    mark_checked = models.BooleanField(default=False)

    objects = LabelPrintQuerySet.as_manager()

    class Meta:
        ordering = ("-at", "-pk")

    def __str__(self) -> str:
        return f"{self.frame} {self.at:%Y-%m-%d %H:%M} by {self.by_name}"
