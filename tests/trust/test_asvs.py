"""The item-by-item list names every item once, gives each a verdict, and points at what exists."""

import re

from tests.source_tree import ROOT

TEXT = (ROOT / "shopfloor/deploy/asvs.md").read_text("utf-8")
ROWS = [line.strip("| ").split(" | ") for line in TEXT.splitlines() if re.match(r"\| \d", line)]
# In the order of ASVS 5.0; what is about OAuth is one row, as there is none.
LEVEL_1 = """
1.2.1 1.2.2 1.2.3 1.2.4 1.2.5 1.3.1 1.3.2 1.5.1 2.1.1 2.2.1 2.2.2 2.3.1 3.2.1 3.2.2 3.3.1
3.4.1 3.4.2 3.5.1 3.5.2 3.5.3 4.1.1 4.4.1 5.2.1 5.2.2 5.3.1 5.3.2 6.1.1 6.2.1 6.2.2 6.2.3
6.2.4 6.2.5 6.2.6 6.2.7 6.3.1 6.4.1 6.4.2 7.2.1 7.2.2 7.2.3 7.2.4 7.4.1 7.4.2 8.1.1 8.2.1
8.2.2 8.3.1 9.1.1 9.1.2 9.1.3 9.2.1 10.4 11.3.1 11.3.2 11.4.1 12.1.1 12.2.1 12.2.2 13.4.1
14.2.1 14.3.1 15.1.1 15.2.1 15.3.1
"""


def test_every_item_has_one_verdict() -> None:
    assert [row[0] for row in ROWS] == LEVEL_1.split()
    assert all(len(row) == 4 for row in ROWS)
    assert {row[2] for row in ROWS} <= {"met", "partly", "not met", "—"}


def test_what_it_points_at_exists() -> None:
    named = re.findall(r"`((?:frames|shopfloor|tests)/[\w./]+|[A-Z]+\.md)`", TEXT)
    assert len(named) > 20
    assert [name for name in named if not (ROOT / name).exists()] == []
