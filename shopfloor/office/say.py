"""How the office writes numbers, times and sizes."""

from datetime import date, datetime, timedelta
from fractions import Fraction
from math import floor

from django.utils import timezone
from django.utils.formats import date_format

STEPS = {8: ("flat", "flats"), 6: ("eighth", "eighths"), 3: ("sixteenth", "sixteenths")}
MM_PER_INCH = 25.4
FRACTIONS = {Fraction(1, 8): "⅛", Fraction(1, 4): "¼", Fraction(3, 8): "⅜", Fraction(1, 2): "½"}
FRACTIONS |= {Fraction(5, 8): "⅝", Fraction(3, 4): "¾", Fraction(7, 8): "⅞"}


def number(value: float | None) -> str:
    """A reading as people write it: 22, 21½, 21.3."""
    if value is None:
        return ""
    tenths = floor(value * 10 + 0.5)
    whole, rest = divmod(abs(tenths), 10)
    sign = "−" if tenths < 0 else ""
    if rest == 5:
        return f"{sign}{whole or ''}½"
    return f"{sign}{whole}" if rest == 0 else f"{sign}{whole}.{rest}"


def count(value: int | None) -> str:
    return "" if value is None else f"{value:,}"


def plain(value: float | int | None) -> str:
    """A number as it may be typed again: no rounding, no trailing zeros."""
    if value is None:
        return ""
    return f"{value:.6f}".rstrip("0").rstrip(".") if isinstance(value, float) else str(value)


def percent(share: float) -> str:
    return plain(round(100 * share, 2)).replace("-", "−")


def inches(mm: float) -> str:
    eighths = round(mm / MM_PER_INCH * 8)
    whole, rest = divmod(eighths, 8)
    return f"{whole or ''}{FRACTIONS[Fraction(rest, 8)]}" if rest else str(whole)


def size(a_mm: float, b_mm: float, unit: str) -> str:
    if unit == "mm":
        return f"{plain(round(a_mm, 1))} × {plain(round(b_mm, 1))} mm"
    return f"{inches(a_mm)} × {inches(b_mm)} in"


def turn(turn_48ths: int, step_48ths: int = 8) -> str:
    """A turn in the head's own steps, signed: +2 flats. Off-step turns are said in 48ths."""
    sign = "+" if turn_48ths > 0 else "−" if turn_48ths < 0 else ""
    steps, rest = divmod(abs(turn_48ths), step_48ths)
    if rest or step_48ths not in STEPS:
        return f"{sign}{abs(turn_48ths)}/48 turn"
    one, many = STEPS[step_48ths]
    return f"{sign}{steps} {one if steps == 1 else many}"


def turns(bolts: dict[str, int], step_48ths: int = 8) -> str:
    """Bolts that share a turn are said together: A1–A3, B2 +1 flat; C4 −2 flats."""
    alike: dict[int, list[str]] = {}
    for bolt, turned in bolts.items():
        alike.setdefault(turned, []).append(bolt)
    return "; ".join(
        f"{', '.join(rows(names))} {turn(t, step_48ths)}" for t, names in alike.items()
    )


def rows(bolts: list[str]) -> list[str]:
    """Bolts with neighbours said as a row: A1, A2, A3, B2 → A1–A3, B2."""
    runs: list[list[str]] = []
    for bolt in sorted(bolts, key=lambda bolt: (bolt[0], int(bolt[1:]))):
        last = runs[-1][-1] if runs else ""
        if last[:1] == bolt[0] and int(last[1:]) + 1 == int(bolt[1:]):
            runs[-1].append(bolt)
        else:
            runs.append([bolt])
    return [f"{run[0]}–{run[-1]}" if len(run) > 2 else ", ".join(run) for run in runs]


def ago(when: datetime | None, now: datetime) -> str:
    """An age as people say it."""
    if when is None:
        return "never"
    minutes = (now - when) / timedelta(minutes=1)
    if minutes < 1:
        return "just now"
    if minutes < 90:
        return f"{minutes:.0f} min ago"
    if minutes < 24 * 60:
        return f"{minutes / 60:.0f} h ago"
    days = (timezone.localdate(now) - timezone.localdate(when)).days
    return "yesterday" if days <= 1 else f"{days} days ago"


def moment(when: datetime | None) -> str:
    """Day and time on the shop's clock: Wed 25 Nov 2026, 10:42."""
    return "" if when is None else date_format(timezone.localtime(when), "D j M Y, H:i")


def day(when: date | None) -> str:
    return "" if when is None else date_format(when, "D j M")
