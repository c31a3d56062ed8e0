"""Accounts of the office and the screen room: made, locked, given another password or role."""

from typing import Any

from axes.models import AccessAttempt
from django.contrib.auth.models import Group, User
from django.db import models, transaction
from django.utils import timezone

from shopfloor.auth import audit, first_password
from shopfloor.auth.roles import GROUPS, MANAGER, SCREEN_ROOM
from shopfloor.models import AuditEvent

Kind = AuditEvent.Kind
# What an account is called that was forgotten; nobody can type such a name, for its spaces.
FORMER = "former account"
_MADE = {SCREEN_ROOM: Kind.TO_SCREEN_ROOM, MANAGER: Kind.TO_MANAGER}


def known() -> models.QuerySet[User]:
    """Every account that was not forgotten, locked ones too."""
    users = User.objects.exclude(username__startswith=FORMER).order_by("username")
    return users.prefetch_related("groups").select_related("firstpassword")


def role(user: User) -> str:
    """The role that counts, or nothing; superusers count as managers."""
    held = {group.name for group in user.groups.all()}
    if user.is_superuser or MANAGER in held:
        return MANAGER
    return SCREEN_ROOM if SCREEN_ROOM in held else ""


@transaction.atomic
def add(name: str, group: str, by: Any = None, *, to_stay: bool = False) -> str:
    """Make an account; its password, which is a first one unless it is `to_stay`.

    Raises `django.db.IntegrityError` where the name is taken.
    """
    user = User(username=name)
    password = _with_new_password(user, to_stay)
    user.groups.set([Group.objects.get_or_create(name=group)[0]])
    _note(Kind.ADDED, user, by)
    return password


@transaction.atomic
def give_password(user: User, by: Any) -> str:
    """Another first password, for who forgot theirs: every browser is signed out by it."""
    AccessAttempt.objects.filter(username=user.get_username()).delete()
    _note(Kind.PASSWORD, user, by)
    return _with_new_password(user)


@transaction.atomic
def set_role(user: User, group: str, by: Any) -> None:
    """Counts from the next page on that the account asks for."""
    ours = Group.objects.filter(name__in=GROUPS)
    user.groups.remove(*ours.exclude(name=group))
    user.groups.add(Group.objects.get_or_create(name=group)[0])
    User.objects.filter(pk=user.pk).update(is_superuser=False, is_staff=False)
    _note(_MADE[group], user, by)


def lock(user: User, by: Any) -> None:
    """Signs in no more, and is out of every browser at once."""
    _set_open(user, False, Kind.LOCKED, by)


def unlock(user: User, by: Any) -> None:
    _set_open(user, True, Kind.UNLOCKED, by)


@transaction.atomic
def _set_open(user: User, is_open: bool, kind: AuditEvent.Kind, by: Any) -> None:
    if User.objects.filter(pk=user.pk, is_active=not is_open).update(is_active=is_open):
        _note(kind, user, by)


def _with_new_password(user: User, to_stay: bool = False) -> str:
    password = first_password.made_up()
    user.set_password(password)
    user.save()
    if not to_stay:
        first_password.give(user)
    return password


def _note(kind: AuditEvent.Kind, user: User, by: Any) -> None:
    audit.record(kind, timezone.now(), by=by, detail=user.get_username())
