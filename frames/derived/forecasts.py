"""Tension in time of every screen: its segments, what is usual for it, its forecast.

What is usual comes from all screens of the shop and is learned anew when there are a tenth more
checks in the log: until then a forecast changes only with its own log.
"""

from functools import lru_cache

from django.db.models import Count, Max

from frames import feed, forecast
from frames.derived import meters
from frames.derived.sources import Json, Screen
from frames.forecast.history import USED
from frames.mechanics import Pool
from frames.models import Derived, Entry, Shop

OF_ENTRY = ("id", "kind", "payload", "occurred_at", "clock_offset_ms", "scanned")
OF_USUAL = ("about", "segments", "mean", "covariance", "wander", "biases", "noise", "checks")
GROWN = 0.1
REST_LIMIT_N_PER_CM = 0.5


def log_of(screen: Screen, standing: Json | None) -> Json:
    """Ended screens go on teaching how their mesh relaxes."""
    entries = [e for e in screen.entries if e["kind"] in USED]
    checks = [e for e in entries if e["kind"] == "tension_check"]
    return {
        "entries": [{key: e[key] for key in OF_ENTRY} for e in entries],
        "out": meters.out(checks),
    }


def cut(inputs: Json) -> Json:
    found = forecast.segments(inputs["entries"], inputs["out"])
    return {"segments": found, "repeats": forecast.repeats(found)}


def usual(screen: Screen, standing: Json | None) -> Json | None:
    """What stands, while it is about the same and the shop has not learned much since."""
    own = _segments(screen)
    if not screen.is_live or not own:
        return None
    epoch = feed.head().epoch
    checks = _checks(epoch, Entry.objects.aggregate(to=Max("seq"))["to"])
    about = forecast.about(own[-1])
    if standing and standing["about"] == about and checks <= (1 + GROWN) * standing["checks"]:
        return {key: standing[key] for key in OF_USUAL}
    rows = Derived.objects.of_kind("relaxing").aggregate(n=Count("pk"), to=Max("seq"))
    pool, noise = _shop(epoch, rows["n"], rows["to"], checks)
    return forecast.usual_body(pool, own[-1], noise) | {"checks": checks}


@lru_cache(maxsize=1)
def _checks(epoch: str, to: int) -> int:
    """How many checks the log holds; counted once while its newest entry stays the same."""
    return Entry.objects.filter(kind="tension_check").count()


@lru_cache(maxsize=1)
def _shop(epoch: str, rows: int, to: int, checks: int) -> tuple[Pool, Json]:
    """What all screens teach, learned once for all that ask while the log stands there."""
    bodies = list(Derived.objects.of_kind("relaxing").values_list("body", flat=True))
    repeats = [row for body in bodies for row in body["repeats"]]
    noise = forecast.noise([*repeats, *meters.studied()])
    cut = [segment for body in bodies for segment in body["segments"]]
    return forecast.pooled(cut, noise), noise


def as_it_is(inputs: Json) -> Json:
    """The inputs are the body."""
    return inputs


def asked(screen: Screen, standing: Json | None) -> Json | None:
    """What a forecast is made from."""
    own, row = _segments(screen), _row("usual", screen.id)
    if not screen.is_live or not own or not row:
        return None
    return {
        "segment": own[-1],
        "usual": {key: row[key] for key in OF_USUAL},
        "tolerance_n_per_cm": screen.state["tolerance_n_per_cm"],
        "rest_limit_n_per_cm": rest_limit(),
    }


def rest_limit() -> float:
    """Set by the shop."""
    set_ = Shop.objects.values_list("rest_limit_n_per_cm", flat=True).first()
    return REST_LIMIT_N_PER_CM if set_ is None else set_


def charted(screen: Screen, standing: Json | None) -> Json | None:
    """What a control chart is drawn from: every segment of the screen."""
    own, row = _segments(screen), _row("usual", screen.id)
    if not screen.is_live or not own or not row:
        return None
    return {"segments": own, "usual": {key: row[key] for key in OF_USUAL}}


def _segments(screen: Screen) -> list[Json]:
    row = _row("relaxing", screen.id)
    return row["segments"] if row else []


def _row(kind: str, screen: str) -> Json | None:
    found = Derived.objects.filter(pk=Derived.key_of(kind, screen))
    return found.values_list("body", flat=True).first()
