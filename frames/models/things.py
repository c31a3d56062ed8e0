"""What the shop owns and works with; edited in place, one version after the other."""

import uuid
from datetime import date
from typing import Any

from django.db import models

HIDDEN = {"seq", "created_at", "changed_at", "changed_by"}


class ThingQuerySet(models.QuerySet):
    def in_use(self) -> "ThingQuerySet":
        return self.filter(retired=False)


class Thing(models.Model):
    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    version = models.PositiveIntegerField(default=1)
    retired = models.BooleanField(default=False)
    seq = models.PositiveBigIntegerField()
    created_at = models.DateTimeField()
    changed_at = models.DateTimeField()
    changed_by = models.CharField(max_length=100, blank=True)

    objects = ThingQuerySet.as_manager()

    class Meta:
        abstract = True

    def body(self) -> dict[str, Any]:
        """What every phone sees of it, ready for JSON."""
        shown = (field for field in self._meta.concrete_fields if field.name not in HIDDEN)
        return {field.name: _plain(getattr(self, field.attname)) for field in shown}


def _plain(value: Any) -> Any:
    return str(value) if isinstance(value, uuid.UUID | date) else value


class Shop(Thing):
    name = models.CharField(max_length=80)
    prefix = models.CharField(max_length=3)
    length_unit = models.CharField(max_length=2, default="mm")
    count_unit = models.CharField(max_length=2, default="cm")
    tolerance_n_per_cm = models.FloatField(default=1.5)
    spread_limit_n_per_cm = models.FloatField(default=3)
    recent_days = models.PositiveIntegerField(default=7)
    round_limit_48ths = models.PositiveIntegerField(default=96)
    spots = models.CharField(max_length=6, default="centre")
    reading_order = models.CharField(max_length=11, default="both")
    stencil_move_limit_mm = models.FloatField(default=0.5)
    look_ahead_days = models.PositiveSmallIntegerField(default=7)
    rest_limit_n_per_cm = models.FloatField(default=0.5)
    set_spread_n_per_cm = models.FloatField(default=2)
    prices = models.JSONField(default=dict)
    stretching = models.JSONField(default=dict)
    language = models.CharField(max_length=2, default="en")

    def __str__(self) -> str:
        return self.name

    @classmethod
    def speaks(cls) -> str:
        """The language of the shop: of whoever chose none, and of what is written for everybody."""
        return cls.objects.values_list("language", flat=True).first() or "en"


class Frame(Thing):
    number = models.PositiveIntegerField(unique=True)
    code = models.CharField(max_length=16, unique=True)
    second_name = models.CharField(max_length=40, blank=True)
    profile = models.CharField(max_length=8)
    inside_a_mm = models.FloatField()
    inside_b_mm = models.FloatField()
    bolts = models.JSONField()
    pitch_mm = models.FloatField()
    head = models.CharField(max_length=6)
    step_48ths = models.PositiveSmallIntegerField()
    lock = models.CharField(max_length=11)
    rods = models.CharField(max_length=80, blank=True)
    note = models.TextField(blank=True)

    class Meta:
        ordering = ["number"]

    def __str__(self) -> str:
        return self.code


class Mesh(Thing):
    name = models.CharField(max_length=80)
    material = models.CharField(max_length=9)
    count_per_cm = models.FloatField()
    count_per_inch = models.FloatField()
    thread_um = models.FloatField()
    card = models.JSONField(default=dict)
    tension_min_n_per_cm = models.FloatField(null=True)
    tension_max_n_per_cm = models.FloatField(null=True)
    cap_n_per_cm = models.FloatField()
    target_n_per_cm = models.FloatField()
    tolerance_n_per_cm = models.FloatField()
    note = models.TextField(blank=True)

    class Meta:
        ordering = ["count_per_cm", "thread_um"]

    def __str__(self) -> str:
        return self.name


class Press(Thing):
    name = models.CharField(max_length=80)
    stations = models.PositiveSmallIntegerField()
    clamps = models.JSONField(default=list)
    adjusters = models.JSONField(default=list)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class Meter(Thing):
    name = models.CharField(max_length=80)
    resolution_n_per_cm = models.FloatField()
    studies = models.JSONField(default=list)
    note = models.TextField(blank=True)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class Operator(Thing):
    name = models.CharField(max_length=80)
    may_turn_with_stencil = models.BooleanField(default=False)
    note = models.TextField(blank=True)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class Job(Thing):
    number = models.CharField(max_length=20, unique=True)
    title = models.CharField(max_length=120)
    customer_ref = models.CharField(max_length=80, blank=True)
    due = models.DateField(null=True)
    run = models.PositiveIntegerField(null=True)
    substrate = models.CharField(max_length=120, blank=True)
    tolerance_mm = models.FloatField()
    inside_a_mm = models.FloatField(null=True)
    inside_b_mm = models.FloatField(null=True)
    keep_stencils = models.BooleanField(default=False)
    done = models.BooleanField(default=False)
    note = models.TextField(blank=True)

    class Meta:
        ordering = ["due", "number"]

    def __str__(self) -> str:
        return f"{self.number} {self.title}"


class Colour(Thing):
    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="colours")
    position = models.PositiveSmallIntegerField()
    name = models.CharField(max_length=80)
    ink = models.CharField(max_length=120, blank=True)
    mesh = models.ForeignKey(Mesh, on_delete=models.PROTECT, null=True, related_name="colours")
    key = models.BooleanField(default=False)
    repeats = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, related_name="repeated"
    )

    class Meta:
        ordering = ["job", "position"]

    def __str__(self) -> str:
        return f"{self.position} {self.name}"
