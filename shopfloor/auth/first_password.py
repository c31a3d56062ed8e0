"""A password that was made for somebody opens nothing but the page where they choose their own.

It runs out after a week, used or not, and cannot be chosen again (ASVS 5.0, 6.4.1).
"""

import secrets
from collections.abc import Callable, Iterable
from datetime import timedelta
from typing import Any

from django.conf import settings
from django.contrib.auth.forms import AuthenticationForm, PasswordChangeForm
from django.contrib.auth.hashers import check_password
from django.contrib.auth.models import AnonymousUser, User
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone

from frames.wording import say
from shopfloor.models import FirstPassword

LASTS = timedelta(days=7)
# Nothing that can be mistaken for something else when read from a screen or a slip of paper.
ALPHABET = "abcdefghjkmnpqrstuvwxyz23456789"
PENDING = "first_password"
OFFICE = "/office/"
STILL_OPEN = ("office-password", "office-sign-out")


def made_up() -> str:
    """Four groups of four: 79 bits."""
    return "-".join("".join(secrets.choice(ALPHABET) for _ in range(4)) for _ in range(4))


def give(user: User) -> None:
    """The password that the account has now was made for its owner, not by them."""
    now_given = {"digest": user.password, "until": timezone.now() + LASTS}
    FirstPassword.objects.update_or_create(user=user, defaults=now_given)


def is_given(names: Iterable[str]) -> bool:
    """Whether any of these accounts still has a password that somebody else made."""
    return FirstPassword.objects.filter(user__username__in=list(names)).exists()


def is_pending(user: Any, typed: str) -> bool:
    """Whether this is still the one that was given; one set since, as at the terminal, is not."""
    given = FirstPassword.objects.filter(user=user).first()
    if given is None:
        return False
    if not check_password(typed, given.digest):
        given.delete()
        return False
    if given.until <= timezone.now():
        raise ValidationError(
            say(
                "This first password has run out. A manager gives another under Phones, "
                "Accounts; at the server: manage.py changepassword NAME."
            )
        )
    return True


class SignInForm(AuthenticationForm):
    is_first = False

    def clean_username(self) -> str:
        """Django gives the browser the length and checks nothing; attempts are kept by name."""
        name = self.cleaned_data["username"]
        if len(name) > self.username_field.max_length:
            raise ValidationError(say("No account has so long a name. Type the one given to you."))
        return name

    def confirm_login_allowed(self, user: Any) -> None:
        super().confirm_login_allowed(user)
        self.is_first = is_pending(user, self.cleaned_data["password"])


class OwnPasswordForm(PasswordChangeForm):
    def clean_new_password1(self) -> str:
        new = self.cleaned_data["new_password1"]
        if self.user.check_password(new):
            raise ValidationError(say("That is the password you have now: choose another."))
        return new


class OwnPasswordFirst:
    """Leads whoever came in with a first password to the page where they choose their own."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        # looked at first, so that a page for everybody does not vary by cookie
        if settings.SESSION_COOKIE_NAME in request.COOKIES and request.session.get(PENDING):
            path = request.path_info
            if path.startswith(OFFICE) and path not in map(reverse, STILL_OPEN):
                return redirect("office-password")
            if not path.startswith(OFFICE):
                # a phone in the same browser goes by its own cookie
                request.user = AnonymousUser()
        return self.get_response(request)
