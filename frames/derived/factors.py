"""What all screens have taught about a frame with a mesh: stiffness and register factors."""

from collections.abc import Iterable
from functools import lru_cache

from frames.derived.sources import Json
from frames.mechanics import Factor, Observation, learn
from frames.models import Derived

QUANTITIES = ("x", "y", "register")
MOST_OBSERVATIONS = 300  # the newest: learning solves a system of this size
CLOSE_MEAN, CLOSE_SD = 0.03, 0.03


def learned(frame_id: str, mesh_id: str, seen: tuple[Observation, ...] | None = None) -> Json:
    """Bare and coated apart, shrunk to the mesh's on other frames, then to the shop's."""
    seen = observations() if seen is None else seen
    return {
        stencil: {
            quantity: _body(learn(seen, frame_id, mesh_id, quantity, stencil == "coated"))
            for quantity in QUANTITIES
        }
        for stencil in ("bare", "coated")
    }


def _body(factor: Factor) -> Json:
    return {"mean": round(factor.mean, 3), "sd": round(factor.sd, 3), "count": factor.count}


def observations() -> tuple[Observation, ...]:
    """Of all lessons; read again only when one of them changed."""
    standing = Derived.objects.of_kind("lessons").order_by("key").values_list("key", "digest")
    return _read(tuple(standing))


@lru_cache(maxsize=1)
def _read(standing: tuple[tuple[str, str], ...]) -> tuple[Observation, ...]:
    """`standing` names the lessons by their fingerprints, which say what is in them."""
    bodies = Derived.objects.of_kind("lessons").values_list("body", flat=True) if standing else ()
    return tuple(_observation(row) for row in newest(bodies))


def newest(bodies: Iterable[Json]) -> list[Json]:
    """Rows of all lessons, the last of them, in a steady order."""
    rows = [
        row | {"frame": body["frame"], "mesh": body["mesh"]}
        for body in bodies
        for row in body["observations"]
    ]
    rows.sort(key=lambda row: (row["at"], row["entry"], row["quantity"]))
    return rows[-MOST_OBSERVATIONS:]


def _observation(row: Json) -> Observation:
    return Observation(
        row["frame"],
        row["mesh"],
        row["quantity"],
        row["predicted"],
        row["observed"],
        row["sd"],
        row["coated"],
    )


def are_close(now: Json, before: Json) -> bool:
    """Whether a phone would hardly notice: then nothing is told anew."""
    return all(
        abs(now[stencil][q]["mean"] - before[stencil][q]["mean"]) <= CLOSE_MEAN
        and abs(now[stencil][q]["sd"] - before[stencil][q]["sd"]) <= CLOSE_SD
        for stencil in now
        for q in now[stencil]
    )
