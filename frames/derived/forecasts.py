"""Tension in time of every screen: its segments, what is usual for it, its forecast.

What is usual comes from all screens of the shop and is learned anew when their number of segments
has grown by a tenth: until then a forecast changes only with its own log.
"""

from functools import lru_cache

from django.db.models import Count, Max

from frames import forecast
from frames.derived.sources import Json, Screen
from frames.forecast.history import USED
from frames.models import Derived, Shop

OF_ENTRY = ("id", "kind", "payload", "occurred_at", "clock_offset_ms")
OF_USUAL = ("about", "segments", "mean", "covariance", "wander", "biases", "noise")
GROWN = 0.1
REST_LIMIT_N_PER_CM = 0.5


def log_of(screen: Screen, standing: Json | None) -> Json:
    """Ended screens go on teaching how their mesh relaxes."""
    entries = [e for e in screen.entries if e["kind"] in USED]
    return {"entries": [{key: e[key] for key in OF_ENTRY} for e in entries]}


def cut(inputs: Json) -> Json:
    found = forecast.segments(inputs["entries"])
    return {"segments": found, "repeats": forecast.repeats(found)}


def usual(screen: Screen, standing: Json | None) -> Json | None:
    """What stands, while it is about the same and the shop has not learned much since."""
    own = _segments(screen)
    if not screen.is_live or not own:
        return None
    learned = Derived.objects.of_kind("relaxing").aggregate(n=Count("pk"), to=Max("seq"))
    about = [own[-1]["mesh"], own[-1]["retensions"]]
    if standing and standing["about"] == about and not _has_grown(standing, learned):
        return {key: standing[key] for key in OF_USUAL}
    pool, noise = _pool(learned["n"], learned["to"])
    return forecast.usual_body(pool, own[-1], noise)


def asked(screen: Screen, standing: Json | None) -> Json | None:
    """What a forecast is made from."""
    own, row = _segments(screen), _row("usual", screen.id)
    if not screen.is_live or not own or not row:
        return None
    shown = {key: screen.state[key] for key in ("target_n_per_cm", "tolerance_n_per_cm")}
    return {
        "segment": own[-1],
        "usual": {key: row[key] for key in OF_USUAL},
        "rest_limit_n_per_cm": REST_LIMIT_N_PER_CM,
        **shown,
    }
