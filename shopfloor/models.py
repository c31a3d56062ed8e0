"""Phones, how they were let in, and who did what about them."""

import uuid
from datetime import datetime

from django.conf import settings
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _


class DeviceQuerySet(models.QuerySet):
    def in_use(self) -> "DeviceQuerySet":
        return self.filter(status=Device.Status.ACTIVE)

    def for_phones_page(self) -> "DeviceQuerySet":
        return self.select_related("enrolled_by").order_by("status", "label")


class Device(models.Model):
    """A phone or tablet that may push entries and read what the shop floor sees."""

    class Status(models.TextChoices):
        ACTIVE = "active", _("in use")
        RETIRED = "retired", _("retired")
        BLOCKED = "blocked", _("blocked")

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    label = models.CharField(max_length=60)
    scope = models.JSONField(default=dict, blank=True)
    status = models.CharField(max_length=8, choices=Status, default=Status.ACTIVE)
    cookie_hash = models.CharField(max_length=64, unique=True, null=True, editable=False)  # noqa: DJ001 (no cookie yet, and unique)
    cookie_until = models.DateTimeField(null=True)
    enrolled_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.SET_NULL, null=True)
    approved_at = models.DateTimeField()
    last_contact_at = models.DateTimeField(null=True)
    last_seen = models.JSONField(default=dict, blank=True)

    objects = DeviceQuerySet.as_manager()

    def __str__(self) -> str:
        return f"{self.label} ({self.get_status_display()})"

    @property
    def name_in_log(self) -> str:
        return f"phone:{self.pk}"


class EnrolmentQuerySet(models.QuerySet):
    def alive(self, now: datetime | None = None) -> "EnrolmentQuerySet":
        return self.filter(expires_at__gt=now or timezone.now())

    def open(self, now: datetime | None = None) -> "EnrolmentQuerySet":
        """Offered, and not yet taken up by a phone."""
        return self.alive(now).filter(status=Enrolment.Status.OFFERED)

    def waiting(self, now: datetime | None = None) -> "EnrolmentQuerySet":
        """Taken up by a phone that now shows its number to the manager."""
        return self.alive(now).filter(status=Enrolment.Status.WAITING)


class Enrolment(models.Model):
    """One invitation: offered by a manager, claimed by a phone, approved by the number it shows."""

    class Status(models.TextChoices):
        OFFERED = "offered", _("offered")
        WAITING = "waiting", _("waiting for the number")
        APPROVED = "approved", _("approved")
        REFUSED = "refused", _("refused")

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    label = models.CharField(max_length=60)
    scope = models.JSONField(default=dict, blank=True)
    status = models.CharField(max_length=8, choices=Status, default=Status.OFFERED)
    offered_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.CASCADE)
    offered_at = models.DateTimeField()
    expires_at = models.DateTimeField()
    token_hash = models.CharField(max_length=64, unique=True, editable=False)
    code_hash = models.CharField(max_length=64, unique=True, editable=False)
    code_tries_left = models.PositiveSmallIntegerField(default=5)
    claim_hash = models.CharField(max_length=64, unique=True, null=True, editable=False)  # noqa: DJ001 (not claimed yet, and unique)
    claimed_at = models.DateTimeField(null=True)
    number = models.CharField(max_length=2, blank=True)
    number_tries_left = models.PositiveSmallIntegerField(default=3)
    about = models.JSONField(default=dict, blank=True)
    device = models.OneToOneField(Device, models.SET_NULL, null=True, related_name="enrolment")

    objects = EnrolmentQuerySet.as_manager()

    def __str__(self) -> str:
        return f"{self.label} ({self.get_status_display()})"


class AuditEventQuerySet(models.QuerySet):
    def about_accounts(self) -> "AuditEventQuerySet":
        """Those whose `detail` is the name of the account that they are about."""
        return self.filter(kind__in=AuditEvent.OF_ACCOUNTS)

    def about_phones(self) -> "AuditEventQuerySet":
        return self.exclude(kind__in=AuditEvent.OF_ACCOUNTS).select_related("device")


class AuditEvent(models.Model):
    """Who let a phone or an account in or out, and when; never edited."""

    class Kind(models.TextChoices):
        OFFERED = "offered", _("phone invited")
        CLAIMED = "claimed", _("invitation taken up")
        WRONG_CODE = "wrong_code", _("wrong code typed")
        WRONG_NUMBER = "wrong_number", _("wrong number typed")
        APPROVED = "approved", _("phone let in")
        REFUSED = "refused", _("phone turned away")
        RETIRED = "retired", _("phone retired")
        BLOCKED = "blocked", _("phone blocked")
        REACTIVATED = "reactivated", _("phone back in use")
        ADDED = "added", _("account made")
        PASSWORD = "password", _("first password given")
        TO_SCREEN_ROOM = "screen_room", _("role: screen room")
        TO_MANAGER = "manager", _("role: manager")
        LOCKED = "locked", _("account locked")
        UNLOCKED = "unlocked", _("account open again")

    OF_ACCOUNTS = (
        *(Kind.ADDED, Kind.PASSWORD, Kind.TO_SCREEN_ROOM, Kind.TO_MANAGER),
        *(Kind.LOCKED, Kind.UNLOCKED),
    )

    at = models.DateTimeField()
    kind = models.CharField(max_length=12, choices=Kind)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.SET_NULL, null=True)
    by_name = models.CharField(max_length=150, blank=True)
    device = models.ForeignKey(Device, models.SET_NULL, null=True, related_name="events")
    enrolment = models.ForeignKey(Enrolment, models.SET_NULL, null=True, related_name="events")
    detail = models.CharField(max_length=200, blank=True)

    objects = AuditEventQuerySet.as_manager()

    class Meta:
        ordering = ("-at", "-pk")

    def __str__(self) -> str:
        return f"{self.at:%Y-%m-%d %H:%M} {self.get_kind_display()} {self.detail}".strip()


class DateFeed(models.Model):
    """A secret address at which a calendar program finds the shop's dates; revoked, it is gone."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    label = models.CharField(max_length=60)
    token_hash = models.CharField(max_length=64, unique=True, editable=False)
    made_at = models.DateTimeField()
    read_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ("made_at",)

    def __str__(self) -> str:
        return self.label


class FirstPassword(models.Model):
    """A password that was made for somebody, until they have chosen their own."""

    user = models.OneToOneField(settings.AUTH_USER_MODEL, models.CASCADE, primary_key=True)
    digest = models.CharField(max_length=128)
    until = models.DateTimeField()

    def __str__(self) -> str:
        return f"{self.user} until {self.until:%d %B %Y}"
