"""Tension meters."""

from typing import Any

from django import forms
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from frames import metering
from frames.models import Meter, MeterState
from frames.wording import mark
from frames.wording import say as phrase
from shopfloor.office import say
from shopfloor.office.fields import NumberField
from shopfloor.office.forms import ThingForm, note
from shopfloor.office.listing import Column


class MeterForm(ThingForm):
    kind = "meter"

    name = forms.CharField(label=_("Name"))
    resolution_n_per_cm = NumberField(label=_("Smallest step it shows, N/cm"), example="0.5")
    note = note()


COLUMNS = (
    Column("name", _("Meter"), lambda meter: meter.name),
    Column("step", _("Smallest step, N/cm"), lambda meter: meter.resolution_n_per_cm, number=True),
    Column("zeroed", _("Zeroed")),
    Column("showed", _("Showed on glass, N/cm"), number=True),
    Column("zero", _("Zero")),
    Column("repeats", _("Repeats within, N/cm"), number=True),
    Column("beside", _("Beside the others, N/cm"), number=True),
)


def cells(meter: Meter) -> list[str]:
    zeroed = getattr(meter, "zeroed", None)
    when = say.moment(zeroed.zeroed_at) if zeroed else ""
    showed = say.number(zeroed.body["zero_n_per_cm"]) if zeroed else ""
    known = meter.known
    return [
        say.number(meter.resolution_n_per_cm),
        when,
        showed,
        zero_text(known),
        f"± {say.number(known['noise'])}" if known["noise"] else "",
        f"{say.signed(known['bias'])} ± {say.tenths(known['bias_sd'])}"
        if known["bias"] is not None
        else "",
    ]


def zero_text(known: dict[str, Any]) -> str:
    """What the zero checks say, and whether one is due."""
    drift, text = known.get("per_30_days"), phrase(known["word"])
    if known["word"] == "drifts" and drift:
        text = phrase("drifts, {0} N/cm in 30 days", say.signed(drift))
    return f"{text}; {phrase('check it')}" if known["due"] else text


ZERO = (mark("good"), mark("off"), mark("drifts"), mark("never zeroed"))


def with_zero(meters: list[Meter]) -> list[Meter]:
    """Each meter with its last zeroing beside it, and what the log has taught about it."""
    now_ms = int(timezone.now().timestamp() * 1000)
    told = {known["meter"].pk: known for known in metering.of_meters(now_ms)}
    states = MeterState.objects.in_bulk([meter.pk for meter in meters])
    for meter in meters:
        meter.zeroed = states.get(meter.pk)
        meter.known = told.get(meter.pk, metering.NOTHING)
    return meters
