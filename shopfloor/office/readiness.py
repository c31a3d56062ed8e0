"""Whether a colour can be printed: its screens, and what is still in the way."""

from frames.models import Colour
from shopfloor.office.standing import Standing

READY = "ready"


def screen_of(colour: Colour, stands: list[Standing]) -> tuple[list[Standing], str]:
    """The screens exposed for a colour, and why it cannot be printed yet (`ready` if it can)."""
    own = [s for s in stands if s.screen and s.screen["colour"] == str(colour.pk) and not s.burst]
    if not own:
        return own, "no screen exposed yet"
    best = min((why_not(stand) for stand in own), key=lambda why: why != READY)
    return own, best


def why_not(stand: Standing) -> str:
    if stand.stencil != "inspected":
        return "stencil not inspected"
    return READY if stand.condition["word"] == "holding" else stand.condition["reason"]
