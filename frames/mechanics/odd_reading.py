"""Where a reading stands that does not fit the others, whoever looks from where."""

from __future__ import annotations

from frames.wording import say


def odd_reading(u: float, v: float) -> str:
    """What is said about the reading at u along side A and v away from it, each from 0 to 1.

    >>> odd_reading(0.9, 0.1)
    'Corner A/B does not fit the other readings: zero the meter, read it again.'
    """
    by_thirds = (
        (
            say("Corner D/A does not fit the other readings: zero the meter, read it again."),
            say("Midway along A does not fit the other readings: zero the meter, read it again."),
            say("Corner A/B does not fit the other readings: zero the meter, read it again."),
        ),
        (
            say("Midway along D does not fit the other readings: zero the meter, read it again."),
            say("The middle does not fit the other readings: zero the meter, read it again."),
            say("Midway along B does not fit the other readings: zero the meter, read it again."),
        ),
        (
            say("Corner C/D does not fit the other readings: zero the meter, read it again."),
            say("Midway along C does not fit the other readings: zero the meter, read it again."),
            say("Corner B/C does not fit the other readings: zero the meter, read it again."),
        ),
    )
    return by_thirds[_third(v)][_third(u)]


def _third(part: float) -> int:
    return min(2, int(3 * part))
