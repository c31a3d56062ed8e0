"""What templates say of plans: tenths, signed differences, where a spot lies."""

from django import template

from frames.wording import written
from shopfloor.office import say
from shopfloor.office.payload_fields import spot_name

register = template.Library()
register.filter("spot_name", spot_name)
MINUS = "−"


@register.filter
def tenth(value: float | None) -> str:
    """One decimal, halves away from 0: a meter shows no more."""
    return "–" if value is None else written(_rounded(value, 1), ".1f").replace("-", MINUS)


@register.filter
def hundredth(value: float | None) -> str:
    return "–" if value is None else written(_rounded(value, 2), ".2f").replace("-", MINUS)


@register.filter
def signed(value: float | None) -> str:
    """Tenths with their sign: +0.4, −0.2, 0."""
    return _with_sign(value, 1)


@register.filter
def signed_mm(value: float | None) -> str:
    """Hundredths of a millimetre with their sign."""
    return _with_sign(value, 2)


def _with_sign(value: float | None, digits: int) -> str:
    if value is None:
        return "–"
    shown = _rounded(value, digits)
    return say.signed(shown, digits) if shown else "0"


@register.filter
def off_by(spot: dict) -> str:
    """Read less foretold."""
    return signed(spot["observed"] - spot["value"])


def _rounded(value: float, digits: int) -> float:
    """No minus before a 0."""
    return round(value + (1e-9 if value > 0 else -1e-9), digits) + 0.0
