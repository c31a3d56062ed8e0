"""Every plot has a table behind it and a sentence that says what it shows."""

import re
from html.parser import HTMLParser

import pytest
from django.test import Client

from frames import derived
from frames.models import Frame
from tests.pages.floor import VIEW, Floor
from tests.source_tree import ROOT

pytestmark = pytest.mark.django_db
PLOTS = ("data-chart", "data-scatter")
# the table's column that each line is read from
X, LINES = {"data-chart": "at", "data-scatter": "x"}, {"low", "mean", "high", "floor", "y"}


class Plots(HTMLParser):
    """Figures that are drawn on a page, what stands beside them, and the tables there."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[dict] = []
        self.tables: dict[str, set[str]] = {}
        self.last_words, self.said, self.within = "", "", ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        has = dict(attrs)
        self.within = tag
        if tag == "p":
            self.said = ""
        for kind in PLOTS:
            if tag == "figure" and kind in has:
                self.found.append({"kind": kind, "table": has[kind], "said": self.said, "key": ""})
        if tag == "table":
            self.tables[has.get("id") or ""] = set()
        if tag == "th" and "data-series" in has:
            list(self.tables.values())[-1].add(has["data-series"])

    def handle_data(self, data: str) -> None:
        if self.within == "p":
            self.said += data
        if self.within == "figcaption" and self.found:
            self.found[-1]["key"] += data


def plots(client: Client, address: str) -> list[dict]:
    answer = client.get(address)
    assert answer.status_code == 200
    reader = Plots()
    reader.feed(answer.content.decode())
    for plot in reader.found:
        columns = reader.tables.get(plot["table"], set())
        assert X[plot["kind"]] in columns, (address, plot)
        assert columns & LINES, (address, plot)
        assert plot["said"].strip().endswith("."), (address, plot)
        assert plot["key"].strip(), (address, plot)
    return reader.found


def lived_in(floor: Floor) -> Frame:
    """Enough of everything that may be plotted."""
    frame = floor.frame(7)
    floor.fit(frame, hours=400)
    for hours in range(390, 20, -40):
        floor.check(frame, 22.5 - 0.1 * (hours % 3), hours=hours)
    about = {"subject": {"kind": "meter", "id": str(floor.meter.pk)}}
    for hours, zero in ((500, 0.0), (200, 1.5), (10, 0.0)):
        floor.tell("meter_zeroed", {"zero_n_per_cm": zero, "note": ""}, hours=hours, **about)
    for hours in (390, 200, 1):
        tweak = {"seen": "one_corner", "marks": [], "bolts": [], "cause": "mesh", **VIEW}
        floor.tell("register_tweak", tweak, frame, hours=hours)
    derived.follow_up(None)
    return frame


def test_each_plot_of_the_office(floor: Floor, mara: Client) -> None:
    frame = lived_in(floor)
    tables = {
        f"/office/frames/{frame.pk}/": {"tension-table", "ahead-table", "departures-table"},
        f"/office/shop/meters/{floor.meter.pk}/page/": {"zeros-table"},
        "/office/figures/?days=365": {"weeks-table"},
        f"/office/figures/checks/{floor.mesh.pk}/": {"checks-table"},
    }
    for address, wanted in tables.items():
        assert {plot["table"] for plot in plots(mara, address)} == wanted


def test_no_template_draws_a_plot_that_these_tests_do_not_know() -> None:
    """A new plot needs its line above (plans are walked in test_plans)."""
    known = {"tension-table", "ahead-table", "departures-table", "zeros-table", "weeks-table"}
    known |= {"checks-table", "trend-table", "spots-table"}
    drawn = set()
    for path in (ROOT / "templates").rglob("*.html"):
        drawn |= set(
            re.findall(r'<figure data-(?:chart|scatter)="([^"]+)"', path.read_text("utf-8"))
        )
    assert drawn == known


def test_each_plot_of_the_phone_stands_with_its_table_and_sentence() -> None:
    drawing = [
        path
        for path in (ROOT / "static/src/phone").rglob("*.jsx")
        if 'class="plot"' in path.read_text("utf-8")
    ]
    assert [path.name for path in drawing] == ["chart.jsx"]
    text = drawing[0].read_text("utf-8")
    assert text.count("<table>") == text.count("<caption>") == 2
    assert "readText(series)" in text
    assert "aheadText(ahead)" in text
