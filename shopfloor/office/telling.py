"""An entry in one sentence. The log keeps what happened; the wording lives here."""

from collections.abc import Callable

from shopfloor.office import say
from shopfloor.office.names import Names
from shopfloor.office.words import KINDS, word

Teller = Callable[[dict, Names, int], str]
TELLERS: dict[str, Teller] = {}

PURPOSES = {
    "stretch": "Turned to stretch",
    "retension": "Retensioned",
    "register": "Turned for register",
    "even_up": "Evened up",
}


def tell(raw: dict, names: Names, step_48ths: int = 8) -> str:
    """One sentence for any entry; a kind or shape not known here is shown as it came."""
    payload = raw.get("payload")
    teller = TELLERS.get(str(raw.get("kind")))
    if teller is None or not isinstance(payload, dict):
        return f"Written by a newer app: {raw.get('kind')}"
    try:
        return teller(payload, names, step_48ths)
    except (KeyError, TypeError, ValueError, AttributeError):
        return f"{kind_name(raw['kind']).capitalize()}, not readable here"


def kind_name(kind: str) -> str:
    return KINDS.get(kind, kind.replace("_", " "))


def tells(kind: str) -> Callable[[Teller], Teller]:
    def keep(teller: Teller) -> Teller:
        TELLERS[kind] = teller
        return teller

    return keep


def target(payload: dict) -> str:
    aim, slack = payload["target_n_per_cm"], payload["tolerance_n_per_cm"]
    return f"{say.number(aim)} ± {say.number(slack)} N/cm"


def after(text: str, more: str | None) -> str:
    return f"{text}. {more}" if more else text


@tells("mesh_fitted")
def mesh_fitted(payload: dict, names: Names, step: int) -> str:
    used = ", second hand" if payload.get("second_hand") else ""
    return f"Mesh fitted: {names.get('mesh', payload['mesh'])}{used}. Target {target(payload)}"


@tells("target_set")
def target_set(payload: dict, names: Names, step: int) -> str:
    return f"Target set to {target(payload)}"


@tells("tension_check")
def tension_check(payload: dict, names: Names, step: int) -> str:
    spots = [
        [x for x in (s["along_a_n_per_cm"], s["across_a_n_per_cm"]) if x is not None]
        for s in payload["spots"]
    ]
    means = [sum(readings) / len(readings) for readings in spots if readings]
    low, high = min(means), max(means)
    read = say.number(low) if low == high else f"{say.number(low)} to {say.number(high)}"
    where = "1 spot" if len(means) == 1 else f"{len(means)} spots, spread {say.number(high - low)}"
    meter = f", {names.get('meter', payload['meter'])}" if payload.get("meter") else ""
    return f"Checked {payload['stencil']}: {read} N/cm ({where}{meter})"


def bolts_of(payload: dict, step: int) -> str:
    return say.turns({b["bolt"]: b["turn_48ths"] for b in payload["bolts"]}, step)


@tells("turn_plan")
def turn_plan(payload: dict, names: Names, step: int) -> str:
    purpose = word("purpose", payload["purpose"])
    said = f"Turn plan to {purpose}" if purpose != "register" else "Turn plan for register"
    return after(f"{said}: {bolts_of(payload, step)}", _overridden(payload))


def _overridden(payload: dict) -> str:
    reason = payload.get("override")
    return f"Given with a stencil on, because: {reason}" if reason else ""


@tells("bolt_turns")
def bolt_turns(payload: dict, names: Names, step: int) -> str:
    return f"{PURPOSES[payload['purpose']]}: {bolts_of(payload, step)}"


@tells("register_tweak")
def register_tweak(payload: dict, names: Names, step: int) -> str:
    parts = [f"Tweaked: {bolts_of(payload, step) or 'no bolts turned'}"]
    parts.append(f"Seen: {word('seen', payload['seen'])}")
    if payload.get("cause"):
        parts.append(f"Cause: {word('cause', payload['cause'])}")
    return ". ".join([*parts, *filter(None, [job_of(payload, names), press_of(payload, names)])])


def job_of(payload: dict, names: Names) -> str:
    if not payload.get("job"):
        return ""
    colour = names.get("colour", payload.get("colour"))
    return f"Job {names.get('job', payload['job'])}" + (f", {colour}" if colour else "")


def press_of(payload: dict, names: Names) -> str:
    if not payload.get("press"):
        return ""
    station = payload.get("station")
    return names.get("press", payload["press"]) + (f", station {station}" if station else "")


@tells("after_marks")
def after_marks(payload: dict, names: Names, step: int) -> str:
    verdict = payload.get("verdict")
    return f"After marks: {word('verdict', verdict) if verdict else 'measured'}"


@tells("cause_found")
def cause_found(payload: dict, names: Names, step: int) -> str:
    return f"Cause found: {word('cause', payload['cause'])}"


@tells("nipped_up")
def nipped_up(payload: dict, names: Names, step: int) -> str:
    return f"Nipped up: {bolts_of(payload, step)}"


@tells("bolt_state")
def bolt_state(payload: dict, names: Names, step: int) -> str:
    return f"Bolt {payload['bolt']} {payload['state']}"


def noted(word: str) -> Teller:
    return lambda payload, names, step: after(word, payload.get("note"))


for _kind in ("coated", "washed", "reclaimed", "mesh_removed"):
    TELLERS[_kind] = noted(KINDS[_kind].capitalize())


@tells("exposed")
def exposed(payload: dict, names: Names, step: int) -> str:
    colour = names.get("colour", payload["colour"])
    return f"Exposed: job {names.get('job', payload['job'])}, {colour}"


@tells("inspected")
def inspected(payload: dict, names: Names, step: int) -> str:
    return after(f"Inspected: {'good' if payload['passed'] else 'not good'}", payload.get("note"))


@tells("burst")
def burst(payload: dict, names: Names, step: int) -> str:
    printed, where = payload.get("impressions"), word("where", payload["where"])
    at = f", at {say.count(printed)} impressions" if printed is not None else ""
    return after(f"Burst {where}{at}", payload.get("note"))


@tells("moved")
def moved(payload: dict, names: Names, step: int) -> str:
    if payload["to"] == "press":
        return f"Moved to {press_of(payload, names) or 'a press'}"
    if payload["to"] == "rack":
        return ", ".join(filter(None, ["Moved to the rack", payload.get("rack")]))
    return f"Moved: {word('to', payload['to'])}"


@tells("impressions")
def impressions(payload: dict, names: Names, step: int) -> str:
    printed = say.count(payload["count"])
    counted = payload["mode"] == "counter"
    said = f"Counter at {printed}" if counted else f"{printed} more impressions"
    return after(said, job_of(payload, names))


@tells("ok_sheet")
def ok_sheet(payload: dict, names: Names, step: int) -> str:
    said = "OK sheet signed" if payload["signed"] else "OK sheet not accepted"
    on = ", ".join(names.get("colour", colour) for colour in payload["colours"])
    where = press_of(payload, names)
    return after(f"{said}: {on}" + (f", on {where}" if where else ""), payload.get("note"))


STRETCH_STEPS = {
    "inspected": "Frame looked over",
    "lock": "Lock and rods chosen",
    "piece": "Piece of mesh torn",
    "pre_bow": "Bars set before the mesh",
    "locked": "Mesh locked in",
    "corners": "Corners eased",
    "rested": "Mesh rested",
}


@tells("stretch_step")
def stretch_step(payload: dict, names: Names, step: int) -> str:
    said = STRETCH_STEPS.get(payload["step"], payload["step"])
    if not payload.get("passed", True):
        said += ", not fit for use"
    piece = [payload.get("piece_a_mm"), payload.get("piece_b_mm")]
    figures = [
        f"rocks {say.plain(payload['rock_mm'])} mm" if payload.get("rock_mm") is not None else "",
        payload.get("rods") or "",
        " × ".join(say.plain(mm) for mm in piece if mm) + " mm" if all(piece) else "",
        bolts_of(payload, step) if payload.get("bolts") else "",
        "sides " + ", ".join(payload["sides"]) if payload.get("sides") else "",
        f"{payload['minutes']} min" if payload.get("minutes") is not None else "",
    ]
    return after(after(said, "; ".join(filter(None, figures))), payload.get("note"))


@tells("stand_out")
def stand_out(payload: dict, names: Names, step: int) -> str:
    bolts = ", ".join(f"{b['bolt']} {say.plain(b['stand_out_mm'])}" for b in payload["bolts"])
    return f"Bolts stand out, mm: {bolts}"


@tells("meter_zeroed")
def meter_zeroed(payload: dict, names: Names, step: int) -> str:
    showed = say.number(payload["zero_n_per_cm"])
    return after(f"Meter zeroed; it showed {showed} on glass", payload.get("note"))


@tells("note")
def note(payload: dict, names: Names, step: int) -> str:
    return payload["note"]


@tells("correction")
def correction(payload: dict, names: Names, step: int) -> str:
    return "Correction of an earlier entry"


@tells("void")
def void(payload: dict, names: Names, step: int) -> str:
    return after("An earlier entry struck out", payload.get("reason"))
