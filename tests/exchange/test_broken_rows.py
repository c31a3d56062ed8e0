"""Rows that cannot be taken, each with what the person is told."""

from typing import Any

import pytest

from shopfloor.exchange.proposals import Book
from tests.exchange.paper import (
    FRAME,
    GOOD,
    JOB,
    MESH,
    body,
    book,
    faults,
    paper,
    proposed,
    whole_mesh,
)

IN_BOOK = body(
    {
        "number": 417,
        "code": "F0417-N",
        "second_name": "K417",
        "profile": "plain_u",
        "inside_a_mm": 800.0,
        "inside_b_mm": 600.0,
        "bolts": {"A": [100, 400, 700], "B": [150, 450], "C": [100, 400, 700], "D": [150, 450]},
        "pitch_mm": 1.5,
        "head": "hex",
        "step_48ths": 8,
        "lock": "twin_rod",
        "rods": "",
        "note": "",
    }
)

# list, the cells that are changed, row and heading and text and remedy
ROWS: list[tuple[str, dict[str, str], str]] = [
    ("frames", {"number": "4l7"}, "number “4l7”: Write a whole number in digits alone, like 1250."),
    ("frames", {"number": "1,000"}, "number “1,000”: Write a whole number in digits alone"),
    ("frames", {"number": "0"}, "number “0”: Give the frame a number from 1."),
    ("frames", {"profile": "plane U"}, "profile “plane U”: Did you mean plain U? Write one of:"),
    ("frames", {"profile": ""}, "profile: Fill this in: it is missing."),
    ("frames", {"inside A [mm]": "800 mm"}, "Write a number alone, like 22 or 21.5, without"),
    ("frames", {"inside A [mm]": "1.234,5"}, "Leave out the mark between thousands"),
    ("frames", {"inside A [mm]": "9" * 400}, "Write a shorter number, with at most 12 digits."),
    ("frames", {"inside A [mm]": f"1/{'9' * 400}"}, "Write a shorter number, with at most 12"),
    ("frames", {"inside A [mm]": "½" * 1100}, "Write a number alone, like 22 or 21.5, without"),
    ("frames", {"inside A [mm]": "1e400"}, "Write a number alone, like 22 or 21.5, without"),
    ("frames", {"inside A [mm]": "nan"}, "Write a number alone, like 22 or 21.5, without"),
    ("frames", {"number": "4²"}, "number “4²”: Write a whole number in digits alone, like 1250."),
    ("frames", {"number": "9" * 12}, f"number “{'9' * 12}”: Give the frame a number from 1."),
    ("frames", {"bolts A [mm]": f"100 {'9' * 400}"}, "Write places from the side's first corner"),
    ("frames", {"inside A [mm]": "80"}, "bolts A [mm] “100 400 700”: Keep the bolts within"),
    ("frames", {"inside B [mm]": "6"}, "inside B [mm] “6”: Give the inside size in mm, from 50"),
    ("frames", {"bolts A [mm]": ""}, "bolts A [mm]: Give the bolt places of side A."),
    ("frames", {"bolts A [mm]": "700 400"}, "Give the bolt places in rising order, each once."),
    ("frames", {"bolts B [mm]": "150,450"}, "Put a space between places, like 60 190 320."),
    ("frames", {"bolts B [mm]": "150 x"}, "Write places from the side's first corner, like 60"),
    ("frames", {"pitch [mm]": "15"}, "pitch [mm] “15”: Give how far one turn moves the bolt"),
    ("frames", {"step": "1/7"}, "step “1/7”: Write one of: flat, eighth, sixteenth."),
    ("frames", {"second name": "K" * 41}, "Shorten the second name to 40 characters."),
    ("frames", {"lock": "rods"}, "lock “rods”: Write one of: twin rod, wedge strip."),
    ("meshes", {"name": ""}, "name: Fill this in: it is missing."),
    ("meshes", {"threads per inch": ""}, "threads per inch: Fill this in: it is missing."),
    ("meshes", {"thread [µm]": "0.048"}, "Give the thread's diameter in micrometres, from 5"),
    ("meshes", {"target [N/cm]": "33"}, "target [N/cm] “33”: Keep the target at or below the cap"),
    ("meshes", {"material": "nylon"}, "material “nylon”: Write one of: polyester, other, stainl"),
    ("meshes", {"name": "=cmd", "cap [N/cm]": "-5"}, "cap [N/cm] “-5”: Give a tension above 0"),
    ("jobs", {"job": ""}, "job: Give the job's number in every row of it."),
    ("jobs", {"due": "03/12/2026"}, "due “03/12/2026”: Write the date as year-month-day, like"),
    ("jobs", {"due": "31.2.2026"}, "due “31.2.2026”: This day is not in the calendar."),
    ("jobs", {"run": "1.200"}, "run “1.200”: Write a whole number in digits alone, like 1250."),
    ("jobs", {"mesh": "77-48 polyestr"}, "No mesh has this name: take in its mesh first. Did you"),
    ("jobs", {"colour": ""}, "colour: Name the colour, or leave its other cells empty too."),
    ("jobs", {"printed as": "120"}, "Give the colour's place in printing order, from 1."),
    ("jobs", {"register tolerance [mm]": "0"}, "Give the register tolerance, up to 10 mm."),
    ("jobs", {"register tolerance [mm]": "9" * 400}, "Write a shorter number, with at most 12"),
    ("jobs", {"register tolerance [mm]": "-0"}, "Give the register tolerance, up to 10 mm."),
    ("jobs", {"run": "9" * 400}, "Write a whole number in digits alone, like 1250."),
    ("jobs", {"title": "x;y"}, "row “9 cells under 8 headings”: Put text that has the mark"),
]


@pytest.mark.parametrize(("slug", "changed", "told"), ROWS, ids=[row[2][:40] for row in ROWS])
def test_a_broken_row_is_told_by_row_heading_text_and_remedy(
    slug: str, changed: dict[str, str], told: str
) -> None:
    good = GOOD[slug]
    rows = paper(good, other(slug), good | changed | unlike(slug, changed))
    found = proposed(slug, rows, Book("F") if slug == "meshes" else book())
    assert [one.verdict for one in found][:2] == ["new", "new"]
    said = faults(found)
    assert said, found
    assert any(line.startswith("row 4, ") and told in line for line in said), said
    assert all(line.startswith("row 4, ") for line in said), said


def other(slug: str) -> dict[str, str]:
    """A second good row, so that a bad one does not spoil its neighbours unseen."""
    changed = {
        "frames": {"number": "418", "second name": "K418"},
        "meshes": {"name": "120-34 polyester"},
        "jobs": {"job": "2292"},
    }
    return GOOD[slug] | changed[slug]


def unlike(slug: str, changed: dict[str, str]) -> dict[str, str]:
    """What keeps the broken row from being a double as well."""
    own = {
        "frames": {"number": "419", "second name": "K419"},
        "meshes": {"name": "48-70 polyester"},
        "jobs": {"job": "2293"},
    }[slug]
    return {key: value for key, value in own.items() if key not in changed}


TWICE: list[tuple[str, list[dict[str, str]], str]] = [
    ("frames", [FRAME, FRAME | {"second name": ""}], "row 3, number “417”: Keep one of the two"),
    ("frames", [FRAME, FRAME | {"number": "5"}], "row 3, second name “K417”: Keep one of the two"),
    ("meshes", [MESH, MESH], "row 3, name “77-48 polyester”: Keep one of the two rows: row 2"),
    ("jobs", [JOB, JOB | {"title": "Other"}], "row 3, title “Other”: Say the same as row 2"),
    ("jobs", [JOB, JOB], "row 3, printed as “1”: Give each colour its own place: row 2 has"),
]


@pytest.mark.parametrize(("slug", "rows", "told"), TWICE, ids=[row[2][:40] for row in TWICE])
def test_what_stands_twice_in_a_file_is_told(slug: str, rows: list, told: str) -> None:
    assert any(line.startswith(told) for line in faults(proposed(slug, paper(*rows))))


KNOWN: list[tuple[str, dict[str, str], dict[str, Any], str]] = [
    (
        "frames",
        {"inside A [mm]": "900"},
        {"frames": [IN_BOOK], "used": [IN_BOOK["id"]]},
        "inside A [mm] “900”: Leave it as it is: the log has entries for this frame",
    ),
    (
        "frames",
        {"head": "socket"},
        {"frames": [IN_BOOK | {"retired": True}]},
        "number “417”: It is retired. Take it back into use on its page first",
    ),
    (
        "frames",
        {"number": "500"},
        {"frames": [IN_BOOK]},
        "second name “K417”: Choose another: frame F0417-N has this one.",
    ),
    (
        "frames",
        {"code": "F0418-L"},
        {},
        "code “F0418-L”: Make code and number agree, or leave one of them out.",
    ),
    ("frames", {"code": "F0417-M"}, {}, "code “F0417-M”: One character is wrong: compare it"),
    ("frames", {"code": "Q0417-6", "number": ""}, {}, "code “Q0417-6”: Codes of this shop begin"),
    ("frames", {"retired": "yes"}, {}, "Leave this row out: a list takes in what is in use."),
    (
        "frames",
        {"retired": "yes"},
        {"frames": [IN_BOOK]},
        "retired “yes”: Retire it on its own page: a list does not.",
    ),
    (
        "meshes",
        {},
        {"meshes": [whole_mesh("77-48 Polyester", n) for n in (1, 2)]},
        "name “77-48 polyester”: 2 meshes have this name: rename them in the office first.",
    ),
    (
        "jobs",
        {},
        {"meshes": [whole_mesh("77-48 polyester") | {"retired": True}]},
        "mesh “77-48 polyester”: This mesh is retired: name another one.",
    ),
]


@pytest.mark.parametrize(
    ("slug", "changed", "there", "told"), KNOWN, ids=[row[3][:40] for row in KNOWN]
)
def test_what_the_book_does_not_allow_is_told(
    slug: str, changed: dict, there: dict[str, Any], told: str
) -> None:
    found = proposed(slug, paper(GOOD[slug] | changed), book(**there))
    assert any(told in line for line in faults(found)), faults(found)
