"""The log, the feed that carries every change to the phones, and the counter over both."""

import uuid
from collections.abc import Iterable
from typing import Self

from django.db import models
from django.db.models import Q

from frames.models.state import StateQuerySet


class Counter(models.Model):
    """One row: every change of anything shown takes the next `seq` in its own transaction.

    `folded_by` is the fingerprint of the rules by which all state was last folded.
    """

    epoch = models.UUIDField(default=uuid.uuid4)
    seq = models.PositiveBigIntegerField(default=0)
    folded_by = models.CharField(max_length=64, blank=True, default="")

    def __str__(self) -> str:
        return f"{self.epoch} at {self.seq}"


class Feed(models.Model):
    seq = models.PositiveBigIntegerField(primary_key=True)
    change_id = models.UUIDField(default=uuid.uuid4, unique=True)
    type = models.CharField(max_length=5)
    kind = models.CharField(max_length=40)
    object_id = models.UUIDField()
    body = models.JSONField(null=True)

    class Meta:
        ordering = ["seq"]
        indexes = [models.Index(fields=["type", "object_id"])]

    def __str__(self) -> str:
        return f"{self.seq} {self.type} {self.kind}"


class EntryQuerySet(models.QuerySet):
    def in_order(self) -> Self:
        """As people read it: oldest first by corrected time."""
        return self.order_by("corrected_at", "install_id", "device_seq", "id")

    def newest_first(self) -> Self:
        return self.order_by("-corrected_at", "-install_id", "-device_seq", "-id")

    def latest_first(self) -> Self:
        """Newest first along the index of times; entries of one moment as they came."""
        return self.order_by("-corrected_at", "-seq")

    def before(self, last: "Entry") -> Self:
        """What `latest_first` puts after this entry."""
        # the first condition is for the index, the second for entries of the same moment
        rows = self.filter(corrected_at__lte=last.corrected_at)
        return rows.filter(Q(corrected_at__lt=last.corrected_at) | Q(seq__lt=last.seq))

    def of_frame(self, frame_id: uuid.UUID) -> Self:
        return self.of_frames([frame_id])

    def of_frames(self, frame_ids: Iterable[uuid.UUID]) -> Self:
        ids = list(frame_ids)
        return self.filter(Q(frame_id__in=ids) | Q(moved_to_id__in=ids))

    def flagged(self) -> Self:
        return self.filter(is_flagged=True)


class Entry(models.Model):
    """One line of the log, never edited. `raw` is the entry as it came, the rest is for finding.

    `job_id` is the job that it names, `target_id` the entry that a correction or a void names,
    `moved_to_id` the frame that a correction puts it under. Frames, screens and targets may be
    unknown here, so no foreign keys.
    """

    id = models.UUIDField(primary_key=True)
    seq = models.PositiveBigIntegerField(unique=True)
    device = models.CharField(max_length=100)
    install_id = models.UUIDField()
    device_seq = models.PositiveBigIntegerField()
    kind = models.CharField(max_length=40)
    v = models.PositiveSmallIntegerField()
    frame_id = models.UUIDField(null=True, db_index=True)
    screen_id = models.UUIDField(null=True, db_index=True)
    subject_id = models.UUIDField(null=True, db_index=True)
    job_id = models.UUIDField(null=True, db_index=True)
    target_id = models.UUIDField(null=True, db_index=True)
    moved_to_id = models.UUIDField(null=True, db_index=True)
    occurred_at = models.DateTimeField()
    corrected_at = models.DateTimeField(db_index=True)
    received_at = models.DateTimeField()
    raw = models.JSONField()
    digest = models.CharField(max_length=64)
    flags = models.JSONField(default=list)
    is_flagged = models.BooleanField(default=False)

    objects = EntryQuerySet.as_manager()

    class Meta:
        verbose_name_plural = "entries"
        indexes = [
            models.Index(fields=["install_id", "device_seq"]),
            models.Index(fields=["seq"], name="flagged", condition=Q(is_flagged=True)),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.id}"

    def body(self) -> dict:
        """The entry as phones and pages see it: as it came, and what the server adds."""
        received = self.received_at.isoformat(timespec="milliseconds").replace("+00:00", "Z")
        return self.raw | {"seq": self.seq, "received_at": received, "flags": self.flags}


class InstallState(models.Model):
    """How far each phone has numbered its entries, and how many of them came."""

    install_id = models.UUIDField(primary_key=True)
    device = models.CharField(max_length=100)
    highest = models.PositiveBigIntegerField()
    stored = models.PositiveBigIntegerField()
    last_received_at = models.DateTimeField()

    objects = StateQuerySet.as_manager()

    def __str__(self) -> str:
        return f"install {self.install_id}"

    @property
    def missing(self) -> int:
        return self.highest - self.stored


class RefusedQuerySet(models.QuerySet):
    def standing(self) -> Self:
        """What nobody has dealt with yet."""
        return self.filter(settled_at=None)


class Refused(models.Model):
    """A copy of what could not go into the log, once per text and device."""

    raw = models.TextField()
    digest = models.CharField(max_length=64)
    reason = models.JSONField()
    device = models.CharField(max_length=100)
    at = models.DateTimeField()
    settled_at = models.DateTimeField(null=True)

    objects = RefusedQuerySet.as_manager()

    class Meta:
        verbose_name_plural = "refused"
        ordering = ["-at"]
        constraints = [models.UniqueConstraint(fields=["device", "digest"], name="refused_once")]
        indexes = [models.Index(fields=["at"], name="standing", condition=Q(settled_at=None))]

    def __str__(self) -> str:
        return f"{self.device} {self.at:%Y-%m-%d %H:%M}"
