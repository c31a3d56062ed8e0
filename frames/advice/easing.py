"""Corners of a new mesh, eased by the end bolts before it is brought up to target."""

from frames.advice.answers import answers, believed, last_spots, thousandth, turned, with_readings
from frames.advice.setup import Json, Setup
from frames.mechanics import ease_corners
from frames.mechanics.cautions import cautions

WAYS = ("along_a", "across_a")


@answers
def corners(request: Json) -> Json:
    setup = Setup(request)
    state = with_readings(setup, believed(setup)).state
    found = ease_corners(state, setup.aim, setup.limits)
    return {
        "status": found.status,
        "message": found.message,
        "bolts": turned(found.turns_48ths, setup.layout.names),
        "tight": [
            {"corner": name, "way": WAYS[axis], "above_n_per_cm": thousandth(above)}
            for name, axis, above in found.tight
        ],
        "read": bool(last_spots(setup)),
        "trusted": state.trusted,
        "cautions": list(cautions(setup.where)),
    }
