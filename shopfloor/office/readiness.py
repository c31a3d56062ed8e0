"""Whether a colour can be printed: its screens, and what is still in the way."""

from frames.models import Colour
from frames.wording import say as phrase
from shopfloor.office.standing import Standing

READY = "ready"
# in tolerance now: rest matters before coating, and what is due can print today
PRINTS = ("holding", "due", "resting")


def stencils_of(colour: Colour) -> set[str]:
    """Colours whose stencils print this one: its own, and the one that it repeats."""
    return {str(id) for id in (colour.pk, colour.repeats_id) if id}


def screen_of(colour: Colour, stands: list[Standing]) -> tuple[list[Standing], str]:
    """The screens exposed for a colour, and why it cannot be printed yet (`ready` if it can)."""
    wanted = stencils_of(colour)
    own = [s for s in stands if s.screen and s.screen["colour"] in wanted and not s.burst]
    if not own:
        return own, phrase("no screen exposed yet")
    return own, why_not(best_of(own))


def best_of(own: list[Standing]) -> Standing:
    return min(own, key=lambda stand: why_not(stand) != READY)


def why_not(stand: Standing) -> str:
    place = (stand.state.get("place") or {}).get("to")
    if place in ("lost", "repair"):
        return phrase("{0} is {1}", stand.frame.code, stand.place)
    if stand.stencil != "inspected":
        return phrase("stencil not inspected")
    return READY if stand.condition["word"] in PRINTS else stand.condition["reason"]
