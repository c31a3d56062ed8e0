"""One meter: its zero over time, its studies, and how it reads beside the others."""

from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.translation import gettext as _

from frames import metering
from frames.models import Frame, Meter, ScreenState
from frames.wording import say as said
from frames.wording import say_many
from shopfloor.auth import who_may
from shopfloor.office import say
from shopfloor.office.meters import with_zero, zero_text
from shopfloor.office.standing import moment

MOST_PAIRS = 50


@who_may("screen room", "manager")
def meter(request: HttpRequest, meter_id: UUID) -> HttpResponse:
    found = get_object_or_404(Meter, pk=meter_id)
    [known] = with_zero([found])
    zeros = metering.zero_checks(found)
    context = {
        "meter": found,
        "facts": facts(known),
        "zeros": zeros,
        "zeros_said": zeros_said(zeros),
        "limit": metering.ZERO_LIMIT,
        "studies": metering.studies(found),
        "pairs": pairs(found),
    }
    return render(request, "office/meter.html", context)


def facts(meter: Meter) -> list[tuple[str, str]]:
    """Label and value, only what is known."""
    known = meter.known
    noise = f"± {say.number(known['noise'])} N/cm" if known["noise"] else ""
    bias = ""
    if known["bias"] is not None:
        off, sd = say.signed(known["bias"]), say.tenths(known["bias_sd"])
        bias = f"{off} ± {sd} N/cm"
    told = [
        (_("Smallest step"), f"{say.plain(meter.resolution_n_per_cm)} N/cm"),
        (_("Zero"), zero_text(known) if known["word"] else ""),
        (_("Repeats within"), noise),
        (_("Reads beside the others"), bias),
        (_("Note"), meter.note),
    ]
    return [(label, value) for label, value in told if value]


def zeros_said(zeros: list[dict[str, Any]]) -> str:
    """What the zero checks show, in one sentence."""
    out = sum(one["out"] for one in zeros)
    if not zeros:
        return _("Its zero was never checked.")
    checks = say_many("In {0} zero check", "In {0} zero checks", len(zeros))
    if not out:
        return said("{0} it was never out.", checks)
    times = say_many("once", "{0} times", out)
    return said("{0} it was out {1}; what it read before is marked.", checks, times)


def pairs(meter: Meter) -> list[dict[str, Any]]:
    """Readings beside other meters with the names that people know."""
    found = metering.beside(meter)[:MOST_PAIRS]
    homes = dict(
        ScreenState.objects.filter(pk__in=[p["screen"] for p in found]).values_list("pk", "frame")
    )
    frames = Frame.objects.in_bulk(list(homes.values()))
    names = {str(pk): name for pk, name in Meter.objects.values_list("pk", "name")}
    return [
        pair
        | {
            "at": moment(pair["at"]),
            "frame": frames.get(homes.get(pair["screen"])),
            "other": names.get(pair["other"], _("another meter")),
        }
        for pair in found
    ]
