"""How the office writes numbers, times and sizes."""

from datetime import date, datetime, timedelta
from fractions import Fraction
from math import floor

from django.utils import timezone
from django.utils.formats import date_format

from frames.wording import mark, say_many, written
from frames.wording import say as phrase

TURN, FLAT = 48, 8
STEPS = {
    FLAT: (mark("flat"), mark("flats")),
    6: (mark("eighth"), mark("eighths")),
    3: (mark("sixteenth"), mark("sixteenths")),
}
# how Django writes dates; each language has its own
DAY, DATE, MOMENT = mark("D j M"), mark("D j M Y"), mark("D j M Y, H:i")
CALENDAR_DAY = mark("j M Y")
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
    return f"{sign}{whole}" if rest == 0 else f"{sign}{written(abs(tenths) / 10, '.1f')}"


def tenths(value: float | None) -> str:
    """What was worked out from readings, such as a mean: 22.0, 21.5, −0.3."""
    if value is None:
        return ""
    near = floor(value * 10 + 0.5) / 10
    return f"{'−' if near < 0 else ''}{written(abs(near), '.1f')}"


def sendable(text: str) -> str:
    """Text as a page can carry it: halves of characters, of a note cut short, are spelt out."""
    return text.encode("utf-8", "backslashreplace").decode()


def count(value: float | None) -> str:
    """How many, to the nearest whole one: 15,000."""
    return "" if value is None else written(round(value), ",")


def signed(value: float, digits: int = 1) -> str:
    """With its sign: +0.4, −0.2."""
    return written(value, f"+.{digits}f").replace("-", "−")


def plain(value: float | int | None) -> str:
    """A number as it may be typed again: no rounding, no trailing zeros."""
    decimal = written(0.5)[1]
    return exact(value).replace(".", decimal)


def exact(value: float | int | None) -> str:
    """The same for programs, in every language with a decimal point."""
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
        return phrase("{0} × {1} mm", plain(round(a_mm, 1)), plain(round(b_mm, 1)))
    return phrase("{0} × {1} in", inches(a_mm), inches(b_mm))


def short(mm: float, unit: str) -> str:
    """A distance that feelers or calipers measure: 2.5 mm, 0.098 in."""
    if unit == "mm":
        return f"{plain(mm)} mm"
    return phrase("{0} in", written(mm / MM_PER_INCH, ".3f"))


def turn(turn_48ths: int, step_48ths: int = 8) -> str:
    """A turn as the phone says it, signed: +2 flats on a hex head, else +3/4 turn."""
    sign = "+" if turn_48ths > 0 else "−" if turn_48ths < 0 else ""
    flats, rest = divmod(abs(turn_48ths), FLAT)
    if rest or step_48ths != FLAT:
        return f"{sign}{_part_of_a_turn(abs(turn_48ths))}"
    one, many = STEPS[FLAT]
    return f"{sign}{flats} {phrase(one if flats == 1 else many)}"


def _part_of_a_turn(size_48ths: int) -> str:
    whole, rest = divmod(size_48ths, TURN)
    if not rest:
        return say_many("{0} turn", "{0} turns", whole)
    part = Fraction(rest, TURN)
    return phrase("{0} {1} turns", whole, part) if whole else phrase("{0} turn", part)


def unit(step_48ths: int) -> str:
    """What turns are counted in: flats."""
    known = STEPS.get(step_48ths)
    return phrase(known[1]) if known else phrase("48ths of a turn")


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
        return phrase("never")
    minutes = (now - when) / timedelta(minutes=1)
    if minutes < 1:
        return phrase("just now")
    if minutes < 90:
        return phrase("{0} min ago", written(minutes, ".0f"))
    if minutes < 24 * 60:
        return phrase("{0} h ago", written(minutes / 60, ".0f"))
    days = (timezone.localdate(now) - timezone.localdate(when)).days
    return phrase("yesterday") if days <= 1 else phrase("{0} days ago", days)


def moment(when: datetime | None) -> str:
    """Day and time on the shop's clock: Wed 25 Nov 2026, 10:42."""
    return "" if when is None else date_format(timezone.localtime(when), phrase(MOMENT))


def day(when: date | None) -> str:
    return "" if when is None else date_format(when, phrase(DAY))


def calendar_day(when: date | None) -> str:
    """25 Nov 2026."""
    return "" if when is None else date_format(when, phrase(CALENDAR_DAY))


def dated(when: date | None) -> str:
    """Wed 25 Nov 2026."""
    return "" if when is None else date_format(when, phrase(DATE))
