"""Files that wait to be taken into the book, thing by thing, and what became of each."""

import uuid
from datetime import datetime, timedelta
from typing import Self

from django.db import models
from django.utils.translation import gettext_lazy as _

from shopfloor.exchange.proposals import BAD, CHANGE, LEFT, NEW, SAME

KEPT_FOR = timedelta(days=30)


class UploadQuerySet(models.QuerySet):
    def forgotten(self, now: datetime) -> Self:
        return self.filter(at__lt=now - KEPT_FOR)

    def recent(self) -> Self:
        return self.order_by("-at")[:10]


class Upload(models.Model):
    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    slug = models.CharField(max_length=10)
    file_name = models.CharField(max_length=120)
    encoding = models.CharField(max_length=20)
    mark = models.CharField(max_length=1)
    heading = models.JSONField()
    left_out = models.JSONField(default=list)
    by_name = models.CharField(max_length=150)
    at = models.DateTimeField()
    begun_at = models.DateTimeField(null=True)

    objects = UploadQuerySet.as_manager()

    def __str__(self) -> str:
        return f"{self.file_name} ({self.slug})"


class LineQuerySet(models.QuerySet):
    def to_take(self) -> Self:
        return self.filter(verdict__in=(NEW, CHANGE))

    def waiting(self) -> Self:
        return self.to_take().filter(taken=False).order_by("place")

    def kept_back(self) -> Self:
        return self.filter(verdict__in=(BAD, LEFT)).order_by("row")


class Line(models.Model):
    """One thing of a file. `place` is its turn when taken, `row` where it stands in the file."""

    VERDICTS = (
        (NEW, _("new")),
        (CHANGE, _("changes")),
        (SAME, _("already there")),
        (BAD, _("to mend")),
        (LEFT, _("kept back")),
    )

    upload = models.ForeignKey(Upload, models.CASCADE, related_name="lines")
    place = models.PositiveIntegerField()
    row = models.PositiveIntegerField()
    name = models.CharField(max_length=130)
    verdict = models.CharField(max_length=6, choices=VERDICTS)
    taken = models.BooleanField(default=False)
    rows = models.JSONField()
    cells = models.JSONField()
    faults = models.JSONField(default=list)
    differences = models.JSONField(default=list)
    body = models.JSONField()

    objects = LineQuerySet.as_manager()

    class Meta:
        indexes = [
            models.Index(fields=["upload", "place"]),
            models.Index(fields=["upload", "row"]),
        ]

    def __str__(self) -> str:
        return f"row {self.row}: {self.name}"
