"""The forms that make an account and give it a role."""

from django import forms
from django.contrib.auth.models import User
from django.contrib.auth.validators import UnicodeUsernameValidator
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from frames.wording import say as phrase
from shopfloor.auth.roles import MANAGER, SCREEN_ROOM

# It stands in the log and on job sheets, where longer names would be cut.
LONGEST = 30
ROLES = (
    (SCREEN_ROOM, _("screen room")),
    (MANAGER, _("manager")),
)


def taken(name: str) -> str:
    return phrase("{0} is taken. Choose another name.", name)


class RoleForm(forms.Form):
    role = forms.ChoiceField(
        label=_("Role"),
        choices=ROLES,
        help_text=_("The screen room does everything but phones and accounts."),
    )


class AccountForm(RoleForm):
    name = forms.CharField(
        label=_("Name to sign in with"),
        help_text=_("One word, like sol. It stands in the log beside what they write."),
        max_length=LONGEST,
        validators=[
            UnicodeUsernameValidator(
                message=_("Only letters, digits and the signs . _ - + @, without a space.")
            )
        ],
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "none"}),
        error_messages={"required": _("Nothing written. Give a name, like sol.")},
    )
    field_order = ("name", "role")

    def clean_name(self) -> str:
        """A name that no account has, in whatever letters: people mix them up."""
        name = self.cleaned_data["name"]
        if User.objects.filter(username__iexact=name).exists():
            raise ValidationError(taken(name))
        return name
