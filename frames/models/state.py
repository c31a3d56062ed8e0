"""What the log says now, kept in rows to be read quickly. Never edited: folded from the log."""

from typing import Self

from django.db import models


class FrameState(models.Model):
    """`folded_to` is the place in the total order up to which this frame's entries are folded."""

    frame = models.UUIDField(primary_key=True)
    place_kind = models.CharField(max_length=8, blank=True)
    rack = models.CharField(max_length=60, blank=True)
    press = models.UUIDField(null=True, db_index=True)
    station = models.PositiveSmallIntegerField(null=True)
    screen = models.UUIDField(null=True)
    folded_to = models.JSONField(null=True)
    body = models.JSONField()

    def __str__(self) -> str:
        return f"frame {self.frame}"


class ScreenQuerySet(models.QuerySet):
    def live(self) -> Self:
        return self.filter(ended_at=None)

    def checked_before(self, moment: object) -> Self:
        return self.filter(models.Q(last_check_at=None) | models.Q(last_check_at__lt=moment))


class ScreenState(models.Model):
    screen = models.UUIDField(primary_key=True)
    frame = models.UUIDField(db_index=True)
    mesh = models.UUIDField(db_index=True)
    job = models.UUIDField(null=True, db_index=True)
    colour = models.UUIDField(null=True)
    stencil = models.CharField(max_length=9)
    fitted_at = models.DateTimeField()
    last_check_at = models.DateTimeField(null=True)
    low = models.FloatField(null=True)
    high = models.FloatField(null=True)
    spread = models.FloatField(null=True)
    target = models.FloatField()
    tolerance = models.FloatField()
    ended_at = models.DateTimeField(null=True, db_index=True)
    body = models.JSONField()

    objects = ScreenQuerySet.as_manager()

    def __str__(self) -> str:
        return f"screen {self.screen}"


class MeterState(models.Model):
    meter = models.UUIDField(primary_key=True)
    zeroed_at = models.DateTimeField()
    body = models.JSONField()

    def __str__(self) -> str:
        return f"meter {self.meter}"
