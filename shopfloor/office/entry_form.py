"""The form of one entry, built from the shape that the log has for its kind."""

from datetime import datetime, timedelta
from typing import Any

from django import forms
from django.http import QueryDict
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from frames.entries import KINDS, parse_payload
from frames.errors import CodeError, Unreadable
from frames.models import Colour, Frame, Mesh
from frames.wording import say as phrase
from shopfloor.office import desk, lookup
from shopfloor.office.forms import Shown, sentence, tell_required
from shopfloor.office.names import is_uuid
from shopfloor.office.payload_fields import SPOT, fields_for

TIME = "%Y-%m-%dT%H:%M"
TIME_WRONG = _(
    "This is not a date and time. Choose it from the calendar, or leave it empty for now."
)
FROM_CARD = ("target_n_per_cm", "tolerance_n_per_cm")


class TimeField(forms.DateTimeField):
    def __init__(self, **kwargs: Any) -> None:
        widget = forms.DateTimeInput(attrs={"type": "datetime-local"}, format=TIME)
        super().__init__(widget=widget, error_messages={"invalid": TIME_WRONG}, **kwargs)

    def clean(self, value: object) -> datetime | None:
        when = super().clean(value)
        if when and when > timezone.now() + timedelta(minutes=1):
            raise forms.ValidationError(
                phrase("This time is still to come. Give when it was done.")
            )
        return when


class OnceForm(forms.Form):
    """Carries the id of its entry from the moment it opens, so that it cannot be written twice."""

    kind = ""
    id = forms.CharField(widget=forms.HiddenInput, required=False)

    def clean_id(self) -> str:
        id = self.cleaned_data["id"]
        return id if is_uuid(id) else desk.new_id(timezone.now())

    def payload(self) -> dict[str, Any]:
        raise NotImplementedError

    def clean(self) -> dict[str, Any]:
        """What the log would say to this payload, beside the fields it is about."""
        if not self.errors:
            try:
                parse_payload(self.kind, self.payload())
            except Unreadable as error:
                for problem in error.problems:
                    name = problem.field.removeprefix("payload.").partition(".")[0]
                    self.add_error(name if name in self.fields else None, sentence(problem))
        return self.cleaned_data


class EntryForm(OnceForm):
    """Fields for one kind. `payload` is what stands now, {} for a new entry."""

    def __init__(
        self,
        data: QueryDict | None = None,
        *,
        kind: str,
        payload: dict,
        step_48ths: int,
        **kwargs: Any,
    ) -> None:
        self.kind, self.stood = kind, payload
        initial = {"warp": "unknown", "passed": True, **shown(payload), **kwargs.pop("initial", {})}
        super().__init__(data, initial=initial, **kwargs)
        self.fields |= fields_for(KINDS[kind], payload, step_48ths)
        if "colour" in self.fields:
            self.fields.pop("job", None)
        if kind == "mesh_fitted":
            for name in FROM_CARD:
                self.fields[name].required = False
                self.fields[name].help_text = phrase("Empty: as on the mesh card.")
        self.fields["at"] = TimeField(
            label=phrase("When"), required=False, help_text=phrase("Empty: now.")
        )
        tell_required(self)

    def grouped(self) -> list[Shown]:
        """Readings of one spot stand side by side, in the middle of the form."""
        shown = self.visible_fields()
        spots = [field for field in shown if SPOT.fullmatch(field.name)]
        last = [field for field in shown if field.name in ("at", "frame")]
        first = [field for field in shown if field not in spots and field not in last]
        return [("", first), *([(phrase("Readings, N/cm"), spots)] if spots else []), ("", last)]

    def payload(self) -> dict[str, Any]:
        """What stood before, with every field as it is typed now."""
        keys = KINDS[self.kind].model_fields
        typed = {key: value for key, value in self.cleaned_data.items() if key in keys}
        empty = {key for key, value in typed.items() if value == ""}
        typed |= {key: None for key in empty if not keys[key].is_required() and key != "note"}
        payload = {**self.stood, **typed}
        if "spots" in keys:
            payload["spots"] = self.spots()
        return self.filled(payload)

    def spots(self) -> list[dict]:
        spots = [dict(spot) for spot in self.stood.get("spots", [])]
        for name, value in self.cleaned_data.items():
            if match := SPOT.fullmatch(name):
                spots[int(match[1])][f"{match[2]}_n_per_cm"] = value
        return spots

    def filled(self, payload: dict[str, Any]) -> dict[str, Any]:
        """What follows from the rest: a colour names its job, a mesh card its target."""
        if payload.get("colour"):
            payload["job"] = str(Colour.objects.get(pk=payload["colour"]).job_id)
        if self.kind == "mesh_fitted" and payload.get("mesh"):
            card = Mesh.objects.get(pk=payload["mesh"])
            for key in FROM_CARD:
                payload[key] = payload[key] or getattr(card, key)
        return payload


class CorrectionForm(EntryForm):
    """An entry as it stands; frame and time can be put right too."""

    def __init__(
        self, data: QueryDict | None = None, *, frame: Frame | None, **kwargs: Any
    ) -> None:
        self.stood_on = frame
        super().__init__(data, **kwargs)
        self.fields["at"].help_text, self.fields["at"].required = "", True
        if frame:
            self.fields["frame"] = forms.CharField(label=phrase("Frame"), initial=frame.code)
        tell_required(self)

    def clean_frame(self) -> Frame:
        try:
            return lookup.frame(self.cleaned_data["frame"])
        except CodeError as error:
            raise forms.ValidationError(f"“{error.value}”: {error.remedy}") from None


class VoidForm(OnceForm):
    """Why an entry, `voids`, should count for nothing."""

    kind = "void"
    reason = forms.CharField(
        label=_("Why"),
        widget=forms.Textarea(attrs={"rows": 2}),
        error_messages={"required": _("Nothing written. Say why; others will wonder later.")},
    )

    def __init__(self, data: QueryDict | None = None, *, voids: str, **kwargs: Any) -> None:
        self.voids = voids
        super().__init__(data, **kwargs)

    def payload(self) -> dict[str, Any]:
        return {"voids": self.voids, "reason": self.cleaned_data["reason"]}


def shown(payload: dict) -> dict[str, Any]:
    """A payload as the form's fields show it: each spot's readings are fields of their own."""
    fields = {key: value for key, value in payload.items() if key != "spots"}
    for number, spot in enumerate(payload.get("spots", [])):
        for way in ("along_a_n_per_cm", "across_a_n_per_cm"):
            fields[f"spot_{number}_{way}"] = spot.get(way)
    return fields
