"""Operators: the names that people pick on the phone."""

from django import forms

from frames.models import Operator
from shopfloor.office.forms import ThingForm, note
from shopfloor.office.listing import Column


class OperatorForm(ThingForm):
    kind = "operator"

    name = forms.CharField(label="Name", help_text="As it stands on the phone.")
    note = note()


COLUMNS = (
    Column("name", "Operator", lambda operator: operator.name),
    Column("note", "Note"),
)


def cells(operator: Operator) -> list[str]:
    return [operator.note]
