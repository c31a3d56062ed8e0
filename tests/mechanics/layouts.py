"""Five frames that tests and trials share: inside along A and B (mm), bolts on A and on B."""

from frames.mechanics import Layout

FIVE = (
    (400, 500, 4, 5),
    (600, 800, 6, 7),
    (800, 1000, 8, 9),
    (1000, 1400, 8, 12),
    (1500, 2000, 12, 16),
)


def all_five() -> list[Layout]:
    return [Layout.evenly(*size) for size in FIVE]
