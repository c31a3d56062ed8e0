"""A seeded payload for every kind of entry."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from tests.log.making import Frame, Maker

Payload = dict[str, Any]
FIVE = ((0.5, 0.5), (0.2, 0.2), (0.8, 0.2), (0.8, 0.8), (0.2, 0.8))


def mesh_fitted(maker: Maker) -> Payload:
    return {
        "mesh": maker.one("mesh"),
        "warp": maker.random.choice(["x", "y", "unknown"]),
        "target_n_per_cm": maker.random.choice([18, 20, 22.5, 25]),
        "tolerance_n_per_cm": maker.random.choice([1, 1.5, 2]),
        "second_hand": maker.random.random() < 0.2,
    }


def target_set(maker: Maker, frame: Frame) -> Payload:
    return {"target_n_per_cm": maker.random.choice([19, 21.5, 24]), "tolerance_n_per_cm": 1.5}


def _reading(maker: Maker) -> float:
    """As a meter shows it, in halves or tenths; in a few cases finer."""
    return round(maker.random.uniform(14, 27), maker.random.choice([0, 1, 1, 3]))


def _spot(maker: Maker, u: float, v: float) -> Payload:
    along, across = _reading(maker), _reading(maker)
    left_out = maker.random.choice(["", "", "along", "across"])
    return {
        "u": u,
        "v": v,
        "along_a_n_per_cm": None if left_out == "along" else along,
        "across_a_n_per_cm": None if left_out == "across" else across,
    }


def tension_check(maker: Maker, frame: Frame) -> Payload:
    spots = FIVE[: maker.random.choice([1, 1, 3, 5])]
    return {
        "meter": maker.random.choice([None, maker.one("meter")]),
        **view(maker),
        "stencil": maker.random.choice(["bare", "bare", "coated"]),
        "spots": [_spot(maker, u, v) for u, v in spots],
    }


def view(maker: Maker) -> Payload:
    return {
        "face": maker.random.choice(["squeegee", "print"]),
        "near": maker.random.choice("ABCD"),
    }


def bolt(maker: Maker) -> str:
    return maker.random.choice("ABCD") + str(maker.random.randint(1, 5))


def turns(maker: Maker, at_least: int = 1) -> list[Payload]:
    steps = [-24, -16, -8, 8, 16, 24, 48]
    count = maker.random.randint(at_least, 3)
    return [{"bolt": bolt(maker), "turn_48ths": maker.random.choice(steps)} for _ in range(count)]


def bolt_turns(maker: Maker, frame: Frame) -> Payload:
    purposes = ["stretch", "retension", "register", "even_up"]
    purpose = maker.random.choice(purposes)
    return {"purpose": purpose, **view(maker), "bolts": turns(maker), "plan": None}


def turn_plan(maker: Maker, frame: Frame) -> Payload:
    """As the phone gives it; older apps leave out what they do not know."""
    band = {"value": 21.4, "low": 20.1, "high": 22.7}
    spot = {"u": 0.5, "v": 0.5, "along_a": band, "across_a": maker.random.choice([None, band])}
    full = {
        "after": maker.new_id(),
        "estimate": maker.random.choice([None, {"seq": 12, "digest": "5f2c"}]),
        "predicted": [spot],
        "predicted_marks": marks(maker),
        "rounds_left": maker.random.choice([None, 1, 3]),
        "limits": ["At most 2 turns tightened per round: A3."],
        "override": maker.random.choice([None, "the job goes out today"]),
    }
    purpose = maker.random.choice(["stretch", "retension", "register", "even_up"])
    least = {"purpose": purpose, **view(maker), "bolts": turns(maker), "status": "reaches"}
    return least | maker.random.choice([full, {}])


def marks(maker: Maker) -> list[Payload]:
    return [
        {"u": u, "v": v, "dx_mm": round(maker.random.uniform(-0.5, 0.5), 2), "dy_mm": 0.1}
        for u, v in FIVE[: maker.random.randint(0, 2)]
    ]


def register_tweak(maker: Maker, frame: Frame) -> Payload:
    return {
        **view(maker),
        "bolts": turns(maker, at_least=0),
        "seen": maker.random.choice(["long_short", "one_corner", "all_one_way", "skipped"]),
        "cause": maker.random.choice([None, "mesh", "sheet", "unknown"]),
        "marks": marks(maker),
        "off_contact_mm": maker.random.choice([None, 3, 4.5]),
        "job": maker.random.choice([None, maker.one("job")]),
        "colour": maker.random.choice([None, maker.one("colour")]),
        "press": maker.random.choice([None, maker.one("press")]),
        "station": maker.random.choice([None, 1, 2]),
        **maker.random.choice([{}, {"plan": maker.new_id()}]),
    }


def _tweak(maker: Maker, frame: Frame) -> str:
    return maker.random.choice(frame.tweaks[-2:]) if frame.tweaks else maker.new_id()


def after_marks(maker: Maker, frame: Frame) -> Payload:
    verdict = maker.random.choice(["in_register", "better", "no_change", "worse", None])
    return {"tweak": _tweak(maker, frame), "marks": marks(maker), "verdict": verdict}


def cause_found(maker: Maker, frame: Frame) -> Payload:
    cause = maker.random.choice(["sheet", "press", "lays", "film"])
    return {"tweak": _tweak(maker, frame), "cause": cause}


def nipped_up(maker: Maker, frame: Frame) -> Payload:
    return {"bolts": turns(maker, at_least=0)}


def bolt_state(maker: Maker, frame: Frame) -> Payload:
    return {"bolt": bolt(maker), "state": maker.random.choice(["seized", "broken", "freed"])}


def noted(maker: Maker, frame: Frame) -> Payload:
    return {"note": maker.random.choice(["", "ink wiped off", "Ecke ö.k. – schön"])}


def exposed(maker: Maker, frame: Frame) -> Payload:
    return {"job": maker.one("job"), "colour": maker.one("colour")}


def inspected(maker: Maker, frame: Frame) -> Payload:
    return {"passed": maker.random.random() < 0.8, "note": ""}


def burst(maker: Maker, frame: Frame) -> Payload:
    where = maker.random.choice(["middle", "edge", "corner", "at_lock", "unknown"])
    return {"where": where, "u": None, "v": None, "impressions": None, "note": ""}


def moved(maker: Maker, frame: Frame) -> Payload:
    to = maker.random.choice(["rack", "rack", "press", "press", "repair", "lost"])
    return {
        "to": to,
        "rack": "B3" if to == "rack" else None,
        "press": maker.one("press") if to == "press" else None,
        "station": 2 if to == "press" else None,
    }


def scrapped(maker: Maker, frame: Frame) -> Payload:
    return {"to": "scrapped", "rack": None, "press": None, "station": None}


def impressions(maker: Maker, frame: Frame) -> Payload:
    mode, count = maker.random.choice(["counter", "added"]), maker.random.randint(0, 900)
    return {"mode": mode, "count": count, "job": None, "colour": None}


def stretch_step(maker: Maker, frame: Frame) -> Payload:
    view = {"face": "squeegee", "near": maker.random.choice("ABCD")}
    done = maker.random.choice(
        [
            {"step": "inspected", "rock_mm": 0.4},
            {"step": "lock", "mesh": maker.new_id(), "rods": "standard"},
            {"step": "piece", "piece_a_mm": 780.0, "piece_b_mm": 930, "warp": "y"},
            {"step": "pre_bow", "bolts": [{"bolt": bolt(maker), "turn_48ths": 192}]},
            {"step": "locked", "sides": ["A", "C", "B", "D"]},
            {"step": "rested", "minutes": 15, "note": "overnight next"},
        ]
    )
    return done | view


def stand_out(maker: Maker, frame: Frame) -> Payload:
    return {"bolts": [{"bolt": bolt(maker), "stand_out_mm": 12.5}]}


def meter_zeroed(maker: Maker) -> Payload:
    return {"zero_n_per_cm": maker.random.choice([0, 0.5, -1]), "note": ""}


def ok_sheet(maker: Maker, frame: Frame) -> Payload:
    signed = {"signed": maker.random.random() < 0.8, "colours": [maker.new_id(), maker.new_id()]}
    return signed | maker.random.choice([{}, {"press": None, "note": "second pull"}])


MAKE: dict[str, Callable[[Maker, Frame], Payload]] = {
    "target_set": target_set,
    "tension_check": tension_check,
    "turn_plan": turn_plan,
    "bolt_turns": bolt_turns,
    "register_tweak": register_tweak,
    "after_marks": after_marks,
    "cause_found": cause_found,
    "nipped_up": nipped_up,
    "bolt_state": bolt_state,
    "coated": noted,
    "exposed": exposed,
    "inspected": inspected,
    "washed": noted,
    "reclaimed": noted,
    "mesh_removed": noted,
    "burst": burst,
    "moved": moved,
    "impressions": impressions,
    "ok_sheet": ok_sheet,
    "stretch_step": stretch_step,
    "stand_out": stand_out,
    "note": noted,
}


def another(maker: Maker, kind: str) -> Payload:
    """Another payload of the same kind, to correct one with."""
    if kind in MAKE:
        return MAKE[kind](maker, maker.frames[0])
    return {"mesh_fitted": mesh_fitted, "meter_zeroed": meter_zeroed}[kind](maker)


RARE = ("burst", "mesh_removed")
USUAL = [kind for kind in MAKE if kind not in RARE] * 3 + [*RARE, "meter_zeroed", "tension_check"]
