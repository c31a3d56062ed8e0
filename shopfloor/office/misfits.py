"""What does not fit in an entry, in the words of the forms instead of the names in the log."""

from typing import Any

from django.utils.translation import gettext_lazy as _

from frames.wording import say as phrase
from shopfloor.office import say
from shopfloor.office.words import LABELS

INSIDE = LABELS | {
    "spots": _("Spots"),
    "bolts": _("Bolts"),
    "marks": _("Marks"),
    "u": _("Place along A"),
    "v": _("Place across A"),
    "along_a_n_per_cm": _("Along A, N/cm"),
    "across_a_n_per_cm": _("Across A, N/cm"),
    "turn_48ths": _("Turn, 48ths"),
    "stand_out_mm": _("Stand-out, mm"),
    "dx_mm": _("Off along A, mm"),
    "dy_mm": _("Off across A, mm"),
    "after": _("Plan before this"),
    "estimate": _("Estimate"),
    "seq": _("Place in the log"),
    "digest": _("Fingerprint"),
    "predicted": _("Tensions foretold"),
    "predicted_marks": _("Marks foretold"),
    "along_a": _("Along A"),
    "across_a": _("Across A"),
    "value": _("Foretold, N/cm"),
    "low": _("Lowest, N/cm"),
    "high": _("Highest, N/cm"),
    "status": _("Answer"),
    "rounds_left": _("Rounds left"),
    "limits": _("What limits the plan"),
    "override": _("Why"),
    "plan": _("Plan"),
    "tweak": _("Tweak"),
    "signed": _("Signed"),
    "colours": _("Colours"),
    "step": _("Step"),
    "rock_mm": _("Rocks by, mm"),
    "rods": _("Rods"),
    "piece_a_mm": _("Piece along A, mm"),
    "piece_b_mm": _("Piece across A, mm"),
    "sides": _("Sides"),
    "minutes": _("Minutes"),
    "corrects": _("Entry it corrects"),
    "voids": _("Entry it voids"),
    "frame": _("Frame"),
    "screen": _("Screen"),
    "occurred_at": _("When"),
    "payload": _("Content"),
}

AROUND = {
    "entry": _("Entry"),
    "id": _("Number of the entry"),
    "install_id": _("Number of the phone"),
    "device_seq": _("Number in the phone's own count"),
    "kind": _("Kind"),
    "v": _("Version"),
    "occurred_at": _("When"),
    "clock_offset_ms": _("Clock off by, ms"),
    "clock_offset_age_ms": _("Age of the clock check, ms"),
    "mono_ms": _("Running time of the phone, ms"),
    "base_seq": _("Last place in the log that the phone knew"),
    "operator": _("Operator"),
    "frame": _("Frame"),
    "screen": _("Screen"),
    "subject": _("What it is about"),
    "scanned": _("Label was scanned"),
    "app": _("Version of the app"),
    "payload": _("Content"),
}


def place(field: str) -> str:
    """Where it stands: place("payload.spots.2.u") → "Spots, no. 3 · Place along A"."""
    first, *inside = field.split(".")
    deep = first == "payload" and inside
    steps, names = (inside, INSIDE) if deep else ([first, *inside], AROUND)
    told: list[str] = []
    for step in steps:
        if step.isdecimal() and told:
            told[-1] = phrase("{0}, no. {1}", told[-1], int(step) + 1)
        else:
            told.append(str(names.get(step, step)))
    return " · ".join(told)


def misfit(problem: dict[str, Any]) -> str:
    """One line: where, what stood there, what to do about it."""
    value, where = problem.get("value"), place(problem["field"])
    if isinstance(value, float):
        value = say.plain(value)
    if value is not None:
        where = f"{where} “{value}”"
    return f"{where}: {problem['remedy']}"
