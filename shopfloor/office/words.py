"""What the office calls the values of the log; the phone says the same words."""

from typing import Any

from django.utils.functional import lazy
from django.utils.translation import gettext_lazy as _

from frames.wording import mark, mark_many
from frames.wording import say as phrase

side_name = lazy(lambda side: phrase("side {0}", side), str)

CHOICES: dict[str, list[tuple[str, Any]]] = {
    "warp": [("x", _("along A")), ("y", _("across A")), ("unknown", _("not known"))],
    "face": [("squeegee", _("squeegee side up")), ("print", _("print side up"))],
    "near": [(side, side_name(side)) for side in "ABCD"],
    "stencil": [("bare", _("bare")), ("coated", _("coated"))],
    "purpose": [
        ("stretch", _("stretch")),
        ("retension", _("retension")),
        ("register", _("register")),
        ("even_up", _("even up")),
    ],
    "seen": [
        ("long_short", _("long or short")),
        ("one_corner", _("one corner")),
        ("all_one_way", _("all one way")),
        ("skipped", _("not said")),
    ],
    "cause": [
        ("sheet", _("sheet")),
        ("mesh", _("mesh")),
        ("press", _("press")),
        ("lays", _("lays")),
        ("film", _("film")),
        ("unknown", _("not known")),
    ],
    "verdict": [
        ("in_register", _("in register")),
        ("better", _("better")),
        ("no_change", _("no change")),
        ("worse", _("worse")),
    ],
    "state": [("seized", _("seized")), ("broken", _("broken")), ("freed", _("freed"))],
    "where": [
        ("middle", _("in the middle")),
        ("edge", _("at an edge")),
        ("corner", _("at a corner")),
        ("at_lock", _("at the lock")),
        ("unknown", _("not known")),
    ],
    "to": [
        ("rack", _("rack")),
        ("press", _("press")),
        ("repair", _("repair")),
        ("lost", _("lost")),
        ("scrapped", _("scrapped")),
    ],
    "mode": [("counter", _("counter reading")), ("added", _("added to what was there"))],
}

LABELS = {
    "mesh": _("Mesh"),
    "meter": _("Meter"),
    "press": _("Press"),
    "job": _("Job"),
    "colour": _("Colour"),
    "warp": _("Warp lies"),
    "face": _("Face up"),
    "near": _("Side near you"),
    "stencil": _("Stencil"),
    "purpose": _("What for"),
    "seen": _("What was seen"),
    "cause": _("Cause"),
    "verdict": _("After marks"),
    "bolt": _("Bolt"),
    "state": _("Bolt is"),
    "where": _("Where it burst"),
    "to": _("Moved to"),
    "rack": _("Rack place"),
    "station": _("Station"),
    "mode": _("Number is a"),
    "count": _("Impressions"),
    "impressions": _("At impressions"),
    "note": _("Note"),
    "reason": _("Why"),
    "passed": _("It is good"),
    "second_hand": _("Mesh was used before"),
    "target_n_per_cm": _("Target, N/cm"),
    "tolerance_n_per_cm": _("Tolerance ±, N/cm"),
    "zero_n_per_cm": _("Showed on glass, N/cm"),
    "off_contact_mm": _("Off-contact, mm"),
}

KINDS = {
    "mesh_fitted": _("mesh fitted"),
    "target_set": _("target set"),
    "tension_check": _("check"),
    "turn_plan": _("turn plan"),
    "bolt_turns": _("bolts turned"),
    "register_tweak": _("tweak"),
    "after_marks": _("after marks"),
    "cause_found": _("cause found"),
    "nipped_up": _("nipped up"),
    "bolt_state": _("bolt state"),
    "coated": _("coated"),
    "exposed": _("exposed"),
    "inspected": _("inspected"),
    "washed": _("washed"),
    "reclaimed": _("reclaimed"),
    "mesh_removed": _("mesh removed"),
    "burst": _("burst"),
    "moved": _("moved"),
    "impressions": _("impressions"),
    "ok_sheet": _("OK sheet"),
    "stretch_step": _("mesh fitting"),
    "stand_out": _("bolts measured"),
    "meter_zeroed": _("meter zeroed"),
    "note": _("note"),
    "correction": _("correction"),
    "void": _("void"),
}

# Words of the book itself that pages show; `called` in templates says them.
SPOKEN = frozenset(
    (
        *(mark("unknown"), mark("holding"), mark("low"), mark("high"), mark("uneven")),
        *(mark("due"), mark("resting"), mark("burst")),
        *(mark("bare"), mark("coated"), mark("exposed"), mark("inspected")),
        *(mark("stored"), mark("duplicate"), mark("refused")),
        *(mark("seized"), mark("broken"), mark("removed"), mark("retired")),
        *(mark("frames"), mark("meshes"), mark("jobs")),
        *(mark("new"), mark("changed"), mark("same")),
        *(mark("file"), mark("rows"), mark("heading"), mark("shop")),
    )
)

COUNTED = {
    "entry": mark_many("{0} entry", "{0} entries"),
    "frame": mark_many("{0} frame", "{0} frames"),
    "screen": mark_many("{0} screen", "{0} screens"),
    "job": mark_many("{0} job", "{0} jobs"),
    "plan": mark_many("{0} plan", "{0} plans"),
    "line": mark_many("{0} line", "{0} lines"),
    "mesh": mark_many("{0} mesh", "{0} meshes"),
    "press": mark_many("{0} press", "{0} presses"),
    "meter": mark_many("{0} meter", "{0} meters"),
    "operator": mark_many("{0} operator", "{0} operators"),
}


called = lazy(phrase, str)


def word(key: str, value: str | None) -> str:
    """What a value is called, for example word("seen", "long_short") → "long or short"."""
    return str(dict(CHOICES[key]).get(str(value), str(value)))


def kind(name: str) -> str:
    return str(KINDS.get(name, name.replace("_", " ")))
