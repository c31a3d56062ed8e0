"""One form field for each word that an entry may carry; the shapes are those of the log.

What has no field here (plans, marks, the tweak that is meant) stays as it was written.
"""

import re
from typing import Any

from django import forms

from frames.models import Colour, Job, Mesh, Meter, Press
from frames.payloads import Shape, StandOut
from frames.wording import say as phrase
from shopfloor.office import say
from shopfloor.office.fields import NumberField, one_line, read_number, shown
from shopfloor.office.words import CHOICES, LABELS

NUMBER = r"[+−-]? ?(?:\d{1,9}(?:[.,/]\d{1,9})?[½¼¾⅛⅜⅝⅞]?|[½¼¾⅛⅜⅝⅞])"
BOLT = re.compile(rf"([A-Z]\d{{1,2}}) ?[:=]? ?({NUMBER})", re.IGNORECASE)
THINGS = {"mesh": Mesh, "meter": Meter, "press": Press, "job": Job, "colour": Colour}
TEXTS = ("rack", "bolt")
NOTES = ("note", "reason")
WHOLE = ("station", "count", "impressions")
NUMBERS = ("target_n_per_cm", "tolerance_n_per_cm", "zero_n_per_cm", "off_contact_mm")
TICKS = ("second_hand", "passed")
SPOT = re.compile(r"spot_(\d+)_(along_a|across_a)_n_per_cm")


class BoltsField(forms.CharField):
    """Bolts and their turns in steps of the head, or what they stand out in mm."""

    def __init__(self, *, key: str, step_48ths: int, **kwargs: Any) -> None:
        self.key, self.step = key, step_48ths if key == "turn_48ths" else 1
        super().__init__(widget=forms.Textarea(attrs={"rows": 2, "spellcheck": "false"}), **kwargs)

    def to_python(self, value: object) -> list[dict]:
        text = one_line(super().to_python(value))
        left = BOLT.sub("", text).strip(" ,;")
        if left:
            raise forms.ValidationError(
                phrase(
                    "“{0}” is not a bolt and a number. Write bolt and number, like A1 +2 C4 -1.",
                    shown(left),
                )
            )
        return [self.bolt(name, number) for name, number in BOLT.findall(text)]

    def bolt(self, name: str, written: str) -> dict:
        read = read_number(written.replace(" ", ""))
        if read is None:
            raise forms.ValidationError(
                phrase("“{0}” is not a number. Write it like +2 or -1.", written)
            )
        value = read * self.step
        return {"bolt": name.upper(), self.key: round(value) if self.step > 1 else value}

    def prepare_value(self, value: object) -> object:
        if not isinstance(value, list):
            return value
        return "  ".join(f"{b['bolt']} {self.written(b[self.key])}" for b in value)

    def written(self, value: float) -> str:
        shown = say.plain(round(value / self.step, 6))
        return f"+{shown}" if value > 0 and self.key == "turn_48ths" else shown


def field_for(key: str, step_48ths: int, required: bool) -> forms.Field | None:
    """The field for one key of a payload, None where the key is not edited."""
    label = LABELS.get(key, key)
    common: dict[str, Any] = {"label": label, "required": required}
    if key in CHOICES:
        return forms.ChoiceField(choices=offered(CHOICES[key], required), **common)
    if key in THINGS:
        return forms.ChoiceField(choices=lambda: offered(things(key), required), **common)
    if key in NOTES:
        area = forms.Textarea(attrs={"rows": 3})
        return forms.CharField(widget=area, label=label, required=key == "reason")
    if key in TEXTS:
        return forms.CharField(**common)
    if key in TICKS:
        return forms.BooleanField(label=label, required=False)
    if key in WHOLE or key in NUMBERS:
        return NumberField(whole=key in WHOLE, **common)
    return None


def offered(choices: list[tuple[str, str]], required: bool) -> list[tuple[str, str]]:
    return [("", phrase("choose") if required else phrase("not said")), *choices]


def things(key: str) -> list[tuple[str, str]]:
    if key == "colour":
        colours = Colour.objects.in_use().filter(job__done=False).select_related("job")
        return [(str(c.pk), f"{c.job.number}: {c.position} {c.name}") for c in colours]
    known = THINGS[key].objects.in_use()
    return [(str(thing.pk), str(thing)) for thing in known]


def fields_for(shape: type[Shape], payload: dict, step_48ths: int) -> dict[str, forms.Field]:
    """The fields of one kind of entry, in the order of its shape."""
    fields: dict[str, forms.Field] = {}
    for key, about in shape.model_fields.items():
        if key == "bolts":
            fields[key] = bolts_field(shape, step_48ths)
        elif key == "spots":
            fields |= spot_fields(payload.get("spots", []))
        elif field := field_for(key, step_48ths, about.is_required()):
            fields[key] = field
    return fields


def bolts_field(shape: type[Shape], step_48ths: int) -> BoltsField:
    if shape is StandOut:
        return BoltsField(
            key="stand_out_mm", step_48ths=1, label=phrase("Bolts, mm they stand out")
        )
    unit = say.unit(step_48ths)
    label = phrase("Bolts and turns ({0}, + tightens)", unit)
    return BoltsField(key="turn_48ths", step_48ths=step_48ths, label=label, required=False)


def spot_fields(spots: list[dict]) -> dict[str, forms.Field]:
    fields = {}
    for number, spot in enumerate(spots):
        for way, said in (("along_a", phrase("along A")), ("across_a", phrase("across A"))):
            label = phrase("Spot {0}, {1}", spot_name(spot), said)
            key = f"spot_{number}_{way}_n_per_cm"
            fields[key] = NumberField(label=label, required=False)
    return fields


def spot_name(spot: dict) -> str:
    """Where a spot is, by the sides that it lies next to."""
    near = [
        "A" if spot["v"] < 0.4 else "C" if spot["v"] > 0.6 else "",
        "D" if spot["u"] < 0.4 else "B" if spot["u"] > 0.6 else "",
    ]
    sides = [side for side in near if side]
    if len(sides) == 2:
        return phrase("by {0} and {1}", *sides)
    return phrase("by {0}", *sides) if sides else phrase("in the middle")
