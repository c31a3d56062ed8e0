"""What was worked out from the log by the mechanics; may be thrown away and derived anew."""

from typing import ClassVar, Self
from uuid import UUID

from django.db import models


class DerivedQuerySet(models.QuerySet):
    def of_kind(self, kind: str) -> Self:
        return self.filter(kind=kind)


class Derived(models.Model):
    """One body per kind and screen. `digest` is the fingerprint of its inputs, `seq` the place in
    the log up to which they were known. Kinds in `TOLD` go to phones by the feed."""

    TOLD: ClassVar = ("estimate", "forecast")

    key = models.CharField(primary_key=True, max_length=80)
    kind = models.CharField(max_length=40)
    screen = models.UUIDField(db_index=True)
    seq = models.PositiveBigIntegerField()
    digest = models.CharField(max_length=64)
    body = models.JSONField()

    objects = DerivedQuerySet.as_manager()

    class Meta:
        verbose_name_plural = "derived"
        indexes = [models.Index(fields=["kind"], name="derived_kind")]

    def __str__(self) -> str:
        return self.key

    @staticmethod
    def key_of(kind: str, screen: UUID | str) -> str:
        return f"{kind} {screen}"
