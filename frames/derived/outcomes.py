"""What came of turn plans: predicted against observed, from the log alone."""

from statistics import fmean

from frames.derived.sources import Json
from frames.entries import corrected_ms
from frames.times import utc_text
from frames.wording import mark

TURNS = ("bolt_turns", "register_tweak")
WAYS = ("along_a", "across_a")


def of_plans(entries: list[Json]) -> list[Json]:
    """Every plan of one screen's log, in its order."""
    return [_told(place, entry, entries) for place, entry in enumerate(entries) if _is_plan(entry)]


def _is_plan(entry: Json) -> bool:
    return entry["kind"] == "turn_plan"


def _told(place: int, plan: Json, entries: list[Json]) -> Json:
    payload, later = plan["payload"], entries[place + 1 :]
    turns = next((e for e in later if _carries_out(e, plan)), None)
    turned = turns["payload"]["bolts"] if turns else []
    spots = _spots(payload, entries[:place], _after(turns, later)) if turns else []
    marks = _marks(payload, turns, later) if turns else []
    errors = [spot["observed"] - spot["value"] for spot in spots]
    return {
        "plan": plan["id"],
        "at": utc_text(corrected_ms(plan)),
        "purpose": payload["purpose"],
        "status": payload["status"],
        "override": payload.get("override"),
        "press": turns["payload"].get("press") if turns else None,
        "bolts": payload["bolts"],
        "turned": None if not turns else _same(payload["bolts"], turned),
        "spots": spots,
        "marks": marks,
        "mean_error": round(fmean(errors), 3) if errors else None,
        "rms_error": round(fmean(e * e for e in errors) ** 0.5, 3) if errors else None,
        "within": sum(s["low"] <= s["observed"] <= s["high"] for s in spots) if spots else None,
        "of": len(spots),
    }


def _carries_out(entry: Json, plan: Json) -> bool:
    return entry["kind"] in TURNS and entry["payload"].get("plan") == plan["id"]


def _same(planned: list[Json], turned: list[Json]) -> str:
    """Whether what was turned is what was planned."""

    def sums(bolts: list[Json]) -> dict[str, int]:
        out: dict[str, int] = {}
        for b in bolts:
            out[b["bolt"]] = out.get(b["bolt"], 0) + b["turn_48ths"]
        return {bolt: turn for bolt, turn in out.items() if turn}

    return mark("as planned") if sums(planned) == sums(turned) else mark("otherwise")


def _after(turns: Json, later: list[Json]) -> Json | None:
    """The first check after the turns, unless bolts were turned again before it."""
    for entry in later[later.index(turns) + 1 :]:
        if entry["kind"] == "tension_check":
            return entry
        if entry["kind"] in TURNS:
            return None
    return None


def _spots(plan: Json, before: list[Json], check: Json | None) -> list[Json]:
    if check is None:
        return []
    stencil = check["payload"]["stencil"]
    read = _readings(check)
    first = next(
        (
            _readings(e)
            for e in reversed(before)
            if e["kind"] == "tension_check" and e["payload"]["stencil"] == stencil
        ),
        {},
    )
    out = []
    for spot in plan.get("predicted") or []:
        for way in WAYS:
            key = (spot["u"], spot["v"], way)
            band, seen = spot.get(way), read.get(key)
            if band and seen is not None:
                at = {"u": spot["u"], "v": spot["v"], "way": way, "before": first.get(key)}
                out.append(at | band | {"observed": seen, "check": check["id"]})
    return out


def _readings(check: Json) -> dict[tuple[float, float, str], float]:
    return {
        (s["u"], s["v"], way): s[f"{way}_n_per_cm"]
        for s in check["payload"]["spots"]
        for way in WAYS
        if s.get(f"{way}_n_per_cm") is not None
    }


def _marks(plan: Json, turns: Json, later: list[Json]) -> list[Json]:
    """Marks after a tweak, against what the plan said they would show."""
    after = next(
        (e for e in later if e["kind"] == "after_marks" and e["payload"]["tweak"] == turns["id"]),
        None,
    )
    wanted = {(m["u"], m["v"]): m for m in plan.get("predicted_marks") or []}
    return [
        {
            "u": m["u"],
            "v": m["v"],
            "predicted": [wanted[m["u"], m["v"]][k] for k in ("dx_mm", "dy_mm")],
            "observed": [m["dx_mm"], m["dy_mm"]],
        }
        for m in (after["payload"]["marks"] if after else [])
        if (m["u"], m["v"]) in wanted
    ]
