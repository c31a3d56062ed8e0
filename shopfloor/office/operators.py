"""Operators: the names that people pick on the phone."""

from django import forms
from django.utils.translation import gettext_lazy as _

from frames.models import Operator
from shopfloor.office.forms import ThingForm, note
from shopfloor.office.listing import Column


class OperatorForm(ThingForm):
    kind = "operator"

    name = forms.CharField(label=_("Name"), help_text=_("As it stands on the phone."))
    may_turn_with_stencil = forms.BooleanField(
        label=_("May turn bolts with a stencil on"), required=False
    )
    note = note()


COLUMNS = (
    Column("name", _("Operator"), lambda operator: operator.name),
    Column("stencil", _("Turns bolts with a stencil on")),
    Column("note", _("Note")),
)


def cells(operator: Operator) -> list[str]:
    return [_("may") if operator.may_turn_with_stencil else "", operator.note]
