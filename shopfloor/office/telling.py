"""An entry in one sentence. The log keeps what happened; the wording lives here."""

from collections.abc import Callable

from django.utils.translation import gettext_lazy as _

from frames.wording import mark
from frames.wording import say as phrase
from shopfloor.office import say, words
from shopfloor.office.names import Names
from shopfloor.office.words import word

# what other shapes than those of this version can do to a teller
NOT_READABLE = (LookupError, TypeError, ValueError, AttributeError, ArithmeticError, RecursionError)
Teller = Callable[[dict, Names, int], str]
TELLERS: dict[str, Teller] = {}

CHECKED = {
    "bare": mark("Checked bare: {0} N/cm ({1})"),
    "coated": mark("Checked coated: {0} N/cm ({1})"),
}
PURPOSES = {
    "stretch": _("Turned to stretch"),
    "retension": _("Retensioned"),
    "register": _("Turned for register"),
    "even_up": _("Evened up"),
}


def tell(raw: dict, names: Names, step_48ths: int = 8) -> str:
    """One sentence for any entry; a kind or shape not known here is shown as it came."""
    kind, payload = raw.get("kind"), raw.get("payload")
    if not isinstance(kind, str):
        return phrase("Not an entry")
    teller = TELLERS.get(kind)
    if teller is None or not isinstance(payload, dict):
        return say.sendable(phrase("Written by a newer app: {0}", kind))
    try:
        return say.sendable(str(teller(payload, names, step_48ths)))
    except NOT_READABLE:
        return phrase("{0}, not readable here", kind_name(kind).capitalize())


kind_name = words.kind


def tells(kind: str) -> Callable[[Teller], Teller]:
    def keep(teller: Teller) -> Teller:
        TELLERS[kind] = teller
        return teller

    return keep


def target(payload: dict) -> str:
    aim, slack = payload["target_n_per_cm"], payload["tolerance_n_per_cm"]
    return phrase("{0} ± {1} N/cm", say.number(aim), say.number(slack))


def after(text: str, more: str | None) -> str:
    return f"{text}. {more}" if more else text


@tells("mesh_fitted")
def mesh_fitted(payload: dict, names: Names, step: int) -> str:
    mesh = names.get("mesh", payload["mesh"])
    if payload.get("second_hand"):
        return phrase("Mesh fitted: {0}, second hand. Target {1}", mesh, target(payload))
    return phrase("Mesh fitted: {0}. Target {1}", mesh, target(payload))


@tells("target_set")
def target_set(payload: dict, names: Names, step: int) -> str:
    return phrase("Target set to {0}", target(payload))


@tells("tension_check")
def tension_check(payload: dict, names: Names, step: int) -> str:
    spots = [
        [x for x in (s["along_a_n_per_cm"], s["across_a_n_per_cm"]) if x is not None]
        for s in payload["spots"]
    ]
    means = [sum(readings) / len(readings) for readings in spots if readings]
    low, high = min(means), max(means)
    read = (
        say.number(low) if low == high else phrase("{0} to {1}", say.number(low), say.number(high))
    )
    where = (
        phrase("1 spot")
        if len(means) == 1
        else phrase("{0} spots, spread {1}", len(means), say.number(high - low))
    )
    meter = f", {names.get('meter', payload['meter'])}" if payload.get("meter") else ""
    return phrase(CHECKED[payload["stencil"]], read, where + meter)


def bolts_of(payload: dict, step: int) -> str:
    return say.turns({b["bolt"]: b["turn_48ths"] for b in payload["bolts"]}, step)


@tells("turn_plan")
def turn_plan(payload: dict, names: Names, step: int) -> str:
    purpose = word("purpose", payload["purpose"])
    said = (
        phrase("Turn plan to {0}", purpose)
        if purpose != "register"
        else phrase("Turn plan for register")
    )
    return after(f"{said}: {bolts_of(payload, step)}", _overridden(payload))


def _overridden(payload: dict) -> str:
    reason = payload.get("override")
    return phrase("Given with a stencil on, because: {0}", reason) if reason else ""


@tells("bolt_turns")
def bolt_turns(payload: dict, names: Names, step: int) -> str:
    return f"{PURPOSES[payload['purpose']]}: {bolts_of(payload, step)}"


@tells("register_tweak")
def register_tweak(payload: dict, names: Names, step: int) -> str:
    parts = [phrase("Tweaked: {0}", bolts_of(payload, step) or phrase("no bolts turned"))]
    parts.append(phrase("Seen: {0}", word("seen", payload["seen"])))
    if payload.get("cause"):
        parts.append(phrase("Cause: {0}", word("cause", payload["cause"])))
    return ". ".join([*parts, *filter(None, [job_of(payload, names), press_of(payload, names)])])


def job_of(payload: dict, names: Names) -> str:
    if not payload.get("job"):
        return ""
    colour = names.get("colour", payload.get("colour"))
    return phrase("Job {0}", names.get("job", payload["job"])) + (f", {colour}" if colour else "")


def press_of(payload: dict, names: Names) -> str:
    if not payload.get("press"):
        return ""
    station = payload.get("station")
    return names.get("press", payload["press"]) + (
        phrase(", station {0}", station) if station else ""
    )


@tells("after_marks")
def after_marks(payload: dict, names: Names, step: int) -> str:
    verdict = payload.get("verdict")
    return phrase("After marks: {0}", word("verdict", verdict) if verdict else phrase("measured"))


@tells("cause_found")
def cause_found(payload: dict, names: Names, step: int) -> str:
    return phrase("Cause found: {0}", word("cause", payload["cause"]))


@tells("nipped_up")
def nipped_up(payload: dict, names: Names, step: int) -> str:
    return phrase("Nipped up: {0}", bolts_of(payload, step))


@tells("bolt_state")
def bolt_state(payload: dict, names: Names, step: int) -> str:
    return phrase("Bolt {0} {1}", payload["bolt"], word("state", payload["state"]))


def noted(word: str) -> Teller:
    return lambda payload, names, step: after(phrase(word), payload.get("note"))


for _kind, _word in (
    ("coated", mark("Coated")),
    ("washed", mark("Washed")),
    ("reclaimed", mark("Reclaimed")),
    ("mesh_removed", mark("Mesh removed")),
):
    TELLERS[_kind] = noted(_word)


@tells("exposed")
def exposed(payload: dict, names: Names, step: int) -> str:
    colour = names.get("colour", payload["colour"])
    return phrase("Exposed: job {0}, {1}", names.get("job", payload["job"]), colour)


@tells("inspected")
def inspected(payload: dict, names: Names, step: int) -> str:
    return after(
        phrase("Inspected: good") if payload["passed"] else phrase("Inspected: not good"),
        payload.get("note"),
    )


@tells("burst")
def burst(payload: dict, names: Names, step: int) -> str:
    printed, where = payload.get("impressions"), word("where", payload["where"])
    said = phrase("Burst {0}", where)
    if printed is not None:
        said = phrase("Burst {0}, at {1} impressions", where, say.count(printed))
    return after(said, payload.get("note"))


@tells("moved")
def moved(payload: dict, names: Names, step: int) -> str:
    if payload["to"] == "press":
        return phrase("Moved to {0}", press_of(payload, names) or phrase("a press"))
    if payload["to"] == "rack":
        return ", ".join(filter(None, [phrase("Moved to the rack"), payload.get("rack")]))
    return phrase("Moved: {0}", word("to", payload["to"]))


@tells("impressions")
def impressions(payload: dict, names: Names, step: int) -> str:
    printed = say.count(payload["count"])
    counted = payload["mode"] == "counter"
    said = phrase("Counter at {0}", printed) if counted else phrase("{0} more impressions", printed)
    return after(said, job_of(payload, names))


@tells("ok_sheet")
def ok_sheet(payload: dict, names: Names, step: int) -> str:
    said = phrase("OK sheet signed") if payload["signed"] else phrase("OK sheet not accepted")
    on = ", ".join(names.get("colour", colour) for colour in payload["colours"])
    where = press_of(payload, names)
    return after(
        f"{said}: {on}" + (", " + phrase("on {0}", where) if where else ""), payload.get("note")
    )


STRETCH_STEPS = {
    "inspected": _("Frame looked over"),
    "lock": _("Lock and rods chosen"),
    "piece": _("Piece of mesh torn"),
    "pre_bow": _("Bars set before the mesh"),
    "locked": _("Mesh locked in"),
    "corners": _("Corners eased"),
    "rested": _("Mesh rested"),
}


@tells("stretch_step")
def stretch_step(payload: dict, names: Names, step: int) -> str:
    said = str(STRETCH_STEPS.get(payload["step"], payload["step"]))
    if not payload.get("passed", True):
        said += ", " + phrase("not fit for use")
    piece = [payload.get("piece_a_mm"), payload.get("piece_b_mm")]
    figures = [
        phrase("rocks {0}", say.short(payload["rock_mm"], names.length_unit))
        if payload.get("rock_mm") is not None
        else "",
        payload.get("rods") or "",
        say.size(*piece, names.length_unit) if all(piece) else "",
        bolts_of(payload, step) if payload.get("bolts") else "",
        phrase("sides {0}", ", ".join(payload["sides"])) if payload.get("sides") else "",
        phrase("{0} min", payload["minutes"]) if payload.get("minutes") is not None else "",
    ]
    return after(after(said, "; ".join(filter(None, figures))), payload.get("note"))


@tells("stand_out")
def stand_out(payload: dict, names: Names, step: int) -> str:
    bolts = ", ".join(f"{b['bolt']} {say.plain(b['stand_out_mm'])}" for b in payload["bolts"])
    return phrase("Bolts stand out, mm: {0}", bolts)


@tells("meter_zeroed")
def meter_zeroed(payload: dict, names: Names, step: int) -> str:
    showed = say.number(payload["zero_n_per_cm"])
    return after(phrase("Meter zeroed; it showed {0} on glass", showed), payload.get("note"))


@tells("note")
def note(payload: dict, names: Names, step: int) -> str:
    return payload["note"]


@tells("correction")
def correction(payload: dict, names: Names, step: int) -> str:
    return phrase("Correction of an earlier entry")


@tells("void")
def void(payload: dict, names: Names, step: int) -> str:
    return after(phrase("An earlier entry struck out"), payload.get("reason"))
