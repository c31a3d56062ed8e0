"""Requests for advice about a screen in the book, made as a phone makes them."""

from uuid import UUID

from django.utils import translation

from frames.derived import estimates, sources
from frames.derived.registry import fingerprint
from frames.derived.sources import Json, Screen
from frames.models import Derived, ScreenState, Shop


def request(screen_id: UUID, **more: object) -> Json | None:
    """What `frames.advice` needs to know of a screen; `more` is put in as it is."""
    frames = ScreenState.objects.filter(pk=screen_id).values_list("frame", flat=True)
    found = next((s for s in sources.screens_of(frames) if s.id == str(screen_id)), None)
    shop = Shop.objects.first()
    if found is None or shop is None:
        return None
    with translation.override(shop.language):
        estimate, since = _known(found)
    return {
        "frame": found.frame,
        "mesh": found.mesh,
        "shop": shop.body(),
        "press": None,
        "screen": found.state,
        "frame_state": found.frame_state,
        "estimate": estimate,
        "since": since,
        **more,
    }


def _known(screen: Screen) -> tuple[Json | None, list[Json]]:
    """The estimate and what came after its check; where it is late, its factors and everything."""
    row = Derived.objects.filter(pk=Derived.key_of("estimate", screen.id)).first()
    everything = estimates.history(screen)
    if row is None:
        return None, everything
    if row.body["mean"] is None or not _is_fresh(row, screen):
        return row.body | {"mean": None}, everything
    ids = [entry["id"] for entry in everything]
    return row.body, everything[ids.index(row.body["after"]) + 1 :]


def _is_fresh(row: Derived, screen: Screen) -> bool:
    inputs = estimates.inputs(screen, row.body)
    return inputs is not None and fingerprint(inputs) == row.digest
