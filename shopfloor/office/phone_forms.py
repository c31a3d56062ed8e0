"""The forms by which a phone comes in."""

from django import forms
from django.utils.translation import gettext_lazy as _

from frames.models import Press
from frames.wording import say as phrase
from shopfloor.auth import EnrolmentError
from shopfloor.office.forms import sentence


class DoorForm(forms.Form):
    """A form whose door may have something to say."""

    def take(self, error: EnrolmentError) -> None:
        for problem in error.problems:
            field = problem.field if problem.field in self.fields else None
            self.add_error(field, sentence(problem))


class PhoneForm(DoorForm):
    label = forms.CharField(
        label=_("Name of the phone"),
        help_text=_("What is written on it, or whose it is."),
        error_messages={"required": _("Nothing written. Name the phone, like Press 2 tablet.")},
    )
    press = forms.ChoiceField(
        label=_("It stays at"),
        required=False,
        help_text=_("For a tablet that people share at a press."),
    )
    may_turn_with_stencil = forms.BooleanField(
        label=_("May turn bolts with a stencil on"), required=False
    )

    def __init__(self, *args: object, **kwargs: object) -> None:
        super().__init__(*args, **kwargs)
        presses = [(str(press.pk), press.name) for press in Press.objects.in_use()]
        self.fields["press"].choices = [("", phrase("no press")), *presses]

    def scope(self) -> dict:
        press = self.cleaned_data["press"]
        scope = {"may_turn_with_stencil": self.cleaned_data["may_turn_with_stencil"]}
        return scope | ({"press": press} if press else {})


class NumberForm(DoorForm):
    number = forms.CharField(
        label=_("The number on the phone"),
        widget=forms.TextInput(
            attrs={"class": "short", "inputmode": "numeric", "autocomplete": "off"}
        ),
        error_messages={
            "required": _("Nothing written. Type the two digits that the phone shows.")
        },
    )
