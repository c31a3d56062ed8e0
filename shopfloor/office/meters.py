"""Tension meters."""

from django import forms

from frames.models import Meter, MeterState
from shopfloor.office import say
from shopfloor.office.fields import NumberField
from shopfloor.office.forms import ThingForm, note
from shopfloor.office.listing import Column


class MeterForm(ThingForm):
    kind = "meter"

    name = forms.CharField(label="Name")
    resolution_n_per_cm = NumberField(label="Smallest step it shows, N/cm", example="0.5")
    note = note()


COLUMNS = (
    Column("name", "Meter", lambda meter: meter.name),
    Column("step", "Smallest step, N/cm", lambda meter: meter.resolution_n_per_cm, number=True),
    Column("zeroed", "Zeroed"),
    Column("showed", "Showed on glass, N/cm", number=True),
)


def cells(meter: Meter) -> list[str]:
    zeroed = getattr(meter, "zeroed", None)
    when = say.moment(zeroed.zeroed_at) if zeroed else ""
    showed = say.number(zeroed.body["zero_n_per_cm"]) if zeroed else ""
    return [say.number(meter.resolution_n_per_cm), when, showed]


def with_zero(meters: list[Meter]) -> list[Meter]:
    """Each meter with its last zeroing beside it."""
    states = MeterState.objects.in_bulk([meter.pk for meter in meters])
    for meter in meters:
        meter.zeroed = states.get(meter.pk)
    return meters
