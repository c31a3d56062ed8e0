"""What every form over a thing does: nothing typed is lost, errors name a remedy."""

from collections.abc import Iterable
from typing import Any

from django import forms
from django.http import QueryDict
from django.utils.translation import gettext_lazy as _

from frames import things
from frames.errors import Conflict, Problem, ThingError
from frames.models import Shop, Thing
from frames.wording import say as phrase
from shopfloor.office import say
from shopfloor.office.fields import read_count

LONGEST_TOLD = 40
Group = tuple[str, tuple[str, ...]]
Shown = tuple[str, list[forms.BoundField]]


class ThingForm(forms.Form):
    """A form over one thing; `body` is the thing as it is saved, None for a new one.

    Subclasses turn a body into what the fields show (`shown`) and back (`values`). `groups` are
    the headings under which the fields stand; `fields_of` renames the door's fields to the form's.
    """

    kind = ""
    groups: tuple[Group, ...] = ()
    fields_of: dict[str, str] = {}
    conflict = False

    def __init__(
        self, data: QueryDict | None = None, *, body: dict | None = None, shop: Shop, **kwargs: Any
    ) -> None:
        self.body, self.shop = body, shop
        initial = {**kwargs.pop("initial", {}), **(self.shown(body) if body else {})}
        super().__init__(data, initial=initial, **kwargs)
        self.version = (data or {}).get("version") or (body or {}).get("version", "")
        tell_required(self)

    @classmethod
    def shown(cls, body: dict) -> dict:
        return body

    def values(self) -> dict:
        return dict(self.cleaned_data)

    def save(self, by: str) -> Thing | None:
        """Through the door of things; None if that has something to say, which is then shown."""
        try:
            if self.body is None:
                return self.create(by)
            seen = read_count(str(self.version)) or 0
            return things.change(self.kind, self.body["id"], self.values(), seen, by)
        except ThingError as error:
            self.take(error.problems)
        except Conflict as error:
            self.show_conflict(error.current)
        return None

    def create(self, by: str) -> Thing:
        return things.create(self.kind, self.values(), by)

    def take(self, problems: list[Problem]) -> None:
        """Put a door's problems beside the fields they name."""
        for problem in problems:
            self.add_error(self.field_of(problem.field), sentence(problem))

    def field_of(self, name: str) -> str | None:
        """The form's field for a thing's field; parts (`card.opening_um`) fall back."""
        while name:
            field = self.fields_of.get(name, name)
            if field in self.fields:
                return field
            name = name.rpartition(".")[0]
        return None

    def show_conflict(self, body: dict) -> None:
        """Somebody else saved `body` meanwhile: keep what was typed, show theirs beside it."""
        self.conflict, self.version = True, body["version"]
        for name, saved in self.shown(body).items():
            if name in self.fields:
                self.beside(self[name], saved)

    def beside(self, bound: forms.BoundField, saved: object) -> None:
        theirs = bound.field.prepare_value(saved)
        if str(bound.value() or "") != str(theirs or ""):
            choices = {str(value): label for value, label in getattr(bound.field, "choices", ())}
            bound.theirs = choices.get(str(theirs), theirs) or phrase("nothing")

    def grouped(self) -> list[Shown]:
        return self.shown_in(self.groups or (("", tuple(self.fields)),))

    def shown_in(self, groups: Iterable[Group]) -> list[Shown]:
        """Headings with their fields, without those that this form does not have."""
        shown = [(legend, [self[n] for n in names if n in self.fields]) for legend, names in groups]
        return [(legend, fields) for legend, fields in shown if fields]


def tell_required(form: forms.Form) -> None:
    """A field left empty says what to do."""
    for field in form.fields.values():
        field.error_messages["required"] = required(field)


def required(field: forms.Field) -> str:
    said = str(field.error_messages.get("required", ""))
    if said != forms.Field.default_error_messages["required"]:
        return said
    return (
        phrase("Nothing chosen. Choose one.")
        if hasattr(field, "choices")
        else phrase("Nothing written. Fill it in.")
    )


def sentence(problem: Problem) -> str:
    """A door's problem as one sentence; long values are the form's own and stand there already."""
    value = problem.value
    if isinstance(value, float):
        value = say.plain(value)
    if not isinstance(value, (str, int)) or not 0 < len(str(value)) <= LONGEST_TOLD:
        return problem.remedy
    return f"“{value}”: {problem.remedy}"


def note() -> forms.CharField:
    return forms.CharField(
        label=_("Note"), required=False, widget=forms.Textarea(attrs={"rows": 3})
    )
