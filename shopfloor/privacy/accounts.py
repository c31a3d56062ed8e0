"""What is known about an account: given out as a file, and forgotten."""

from typing import Any

from axes.models import AccessAttempt
from django.contrib.auth.models import User
from django.contrib.sessions.models import Session
from django.db import transaction

from frames import forgetting
from frames.models import Entry
from shopfloor.auth.accounts import FORMER
from shopfloor.exchange.models import Upload
from shopfloor.labels.models import LabelPrint
from shopfloor.models import AuditEvent, FirstPassword

Json = dict[str, Any]


def export(user: User) -> Json:
    name = user.get_username()
    doors = [f"{door}:{name}" for door in forgetting.DOORS]
    written = Entry.objects.filter(device__in=doors).newest_first()
    return {
        "account": {
            "name": name,
            "groups": [group.name for group in user.groups.all()],
            "made_at": user.date_joined.isoformat(),
            "last_sign_in": user.last_login.isoformat() if user.last_login else None,
        },
        "entries": [entry.body() for entry in written],
        "let_in_and_out": [str(event) for event in AuditEvent.objects.filter(by_name=name)],
        "done_to_the_account": [
            str(event) for event in AuditEvent.objects.about_accounts().filter(detail=name)
        ],
        "labels": [str(made) for made in LabelPrint.objects.filter(by_name=name)],
        "failed_sign_ins": [
            {"at": tried.attempt_time.isoformat(), "address": tried.ip_address}
            for tried in AccessAttempt.objects.filter(username=name)
        ],
    }


def forget(user: User) -> str:
    """Close an account under a name that tells nothing; that name."""
    old = user.get_username()
    with transaction.atomic():
        new = f"{FORMER} {user.pk}"
        forgetting.author(old, new)
        AuditEvent.objects.filter(by_name=old).update(by_name=new)
        AuditEvent.objects.about_accounts().filter(detail=old).update(detail=new)
        LabelPrint.objects.filter(by_name=old).update(by_name=new)
        Upload.objects.filter(by_name=old).update(by_name=new)
        AccessAttempt.objects.filter(username=old).delete()
        user.username, user.first_name, user.last_name, user.email = new, "", "", ""
        user.is_active = user.is_staff = user.is_superuser = False
        user.set_unusable_password()
        FirstPassword.objects.filter(user=user).delete()
        user.groups.clear()
        user.save()
    _sign_out(user)
    return new


def _sign_out(user: User) -> None:
    for session in Session.objects.iterator():
        if session.get_decoded().get("_auth_user_id") == str(user.pk):
            session.delete()
