"""What the log says now, kept in rows to be read quickly. Never edited: folded from the log.

`body` is the whole state as phones see it; the other columns repeat what pages search by.
`folded_to` is the place in the total order up to which entries are folded in.
"""

from typing import Any, ClassVar, Self

from django.db import models


class StateQuerySet(models.QuerySet):
    def put(self, rows: list[models.Model]) -> None:
        """Insert rows or replace those that stand."""
        key = self.model._meta.pk.name
        columns = [f.name for f in self.model._meta.concrete_fields if f.name != key]
        self.bulk_create(rows, update_conflicts=True, unique_fields=[key], update_fields=columns)


class FrameState(models.Model):
    frame = models.UUIDField(primary_key=True)
    place_kind = models.CharField(max_length=8, blank=True)
    rack = models.CharField(max_length=60, blank=True)
    press = models.UUIDField(null=True, db_index=True)
    station = models.PositiveSmallIntegerField(null=True)
    screen = models.UUIDField(null=True)
    folded_to = models.JSONField(null=True)
    body = models.JSONField()

    objects = StateQuerySet.as_manager()

    def __str__(self) -> str:
        return f"frame {self.frame}"

    @classmethod
    def of(cls, body: dict[str, Any], folded_to: list | None) -> Self:
        place = body["place"] or {}
        return cls(
            frame=body["frame"],
            place_kind=place.get("to", ""),
            rack=place.get("rack") or "",
            press=place.get("press"),
            station=place.get("station"),
            screen=body["screen"],
            folded_to=folded_to,
            body=body,
        )


class ScreenQuerySet(StateQuerySet):
    def live(self) -> Self:
        return self.filter(ended_at=None)


class ScreenState(models.Model):
    screen = models.UUIDField(primary_key=True)
    frame = models.UUIDField(db_index=True)
    mesh = models.UUIDField(db_index=True)
    job = models.UUIDField(null=True, db_index=True)
    colour = models.UUIDField(null=True)
    stencil = models.CharField(max_length=9)
    fitted_at = models.DateTimeField()
    last_check_at = models.DateTimeField(null=True)
    spots = models.PositiveSmallIntegerField(null=True)
    low = models.FloatField(null=True)
    high = models.FloatField(null=True)
    spread = models.FloatField(null=True)
    target = models.FloatField()
    tolerance = models.FloatField()
    ended_at = models.DateTimeField(null=True, db_index=True)
    body = models.JSONField()

    objects = ScreenQuerySet.as_manager()

    COPIED: ClassVar = ("screen", "frame", "mesh", "job", "colour", "stencil", "fitted_at")

    def __str__(self) -> str:
        return f"screen {self.screen}"

    @classmethod
    def of(cls, body: dict[str, Any]) -> Self:
        check = body["last_check"] or {}
        return cls(
            **{key: body[key] for key in cls.COPIED},
            last_check_at=check.get("at"),
            spots=len(check["spots"]) if check else None,
            low=check.get("low"),
            high=check.get("high"),
            spread=check.get("spread"),
            target=body["target_n_per_cm"],
            tolerance=body["tolerance_n_per_cm"],
            ended_at=body["ended"] and body["ended"]["at"],
            body=body,
        )


class MeterState(models.Model):
    meter = models.UUIDField(primary_key=True)
    zeroed_at = models.DateTimeField()
    body = models.JSONField()

    objects = StateQuerySet.as_manager()

    def __str__(self) -> str:
        return f"meter {self.meter}"

    @classmethod
    def of(cls, body: dict[str, Any]) -> Self:
        return cls(meter=body["meter"], zeroed_at=body["zeroed_at"], body=body)
