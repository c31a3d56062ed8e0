"""The estimate of every live screen, for plans that a phone makes without reception."""

from frames import advice
from frames.advice.history import USED
from frames.derived import factors
from frames.derived.sources import Json, Screen

OF_FRAME = ("id", "profile", "inside_a_mm", "inside_b_mm", "bolts", "pitch_mm", "step_48ths")
OF_MESH = ("id", "material", "count_per_cm", "thread_um", "cap_n_per_cm")
OF_ENTRY = ("id", "kind", "payload", "occurred_at", "clock_offset_ms")


def inputs(screen: Screen, standing: Json | None) -> Json | None:
    """Everything the estimate depends on; None once the screen has ended."""
    if not screen.is_live:
        return None
    learned = factors.learned(str(screen.frame["id"]), str(screen.mesh["id"]))
    if standing and factors.are_close(learned, standing["factors"]):
        learned = standing["factors"]
    return _request(screen) | {"factors": learned}


def _request(screen: Screen) -> Json:
    return {
        "frame": {key: screen.frame[key] for key in OF_FRAME},
        "mesh": {key: screen.mesh[key] for key in OF_MESH},
        "screen": {"screen": screen.id, "turns": {}, "stencil": "bare"},
        "frame_state": {"bolts": screen.frame_state["bolts"]},
        "since": history(screen),
    }


def history(screen: Screen) -> list[Json]:
    """The entries that the estimate knows what to do with."""
    return [{key: e[key] for key in OF_ENTRY} for e in screen.entries if e["kind"] in USED]


def derive(inputs: Json) -> Json:
    return advice.estimate(inputs | {"seq": 0})
