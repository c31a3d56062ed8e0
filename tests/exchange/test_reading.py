"""What spreadsheet programs write is read alike: encodings, marks, numbers, units, headings."""

import csv
import io

import pytest

from shopfloor.exchange.decoding import decode
from shopfloor.exchange.splitting import split
from tests.exchange.paper import FRAME, JOB, MESH, faults, paper, proposed

ENGRAVED = FRAME | {"second name": "Größe ½"}


@pytest.mark.parametrize(
    ("codec", "name"),
    [
        ("utf-8", "UTF-8"),
        ("utf-8-sig", "UTF-8"),
        ("utf-16", "UTF-16"),
        ("utf-16-le", "UTF-16"),
        ("utf-16-be", "UTF-16"),
        ("cp1252", "Windows-1252"),
    ],
)
def test_every_usual_encoding_gives_the_same_text(codec: str, name: str) -> None:
    told = decode(paper(ENGRAVED).encode(codec))
    assert (told.text, told.encoding) == (paper(ENGRAVED), name)


@pytest.mark.parametrize("mark", [",", ";", "\t"])
def test_the_mark_between_cells_is_found(mark: str) -> None:
    sheet = split(paper(FRAME, mark=mark))
    assert sheet.mark == mark
    assert sheet.heading == tuple(FRAME)
    assert sheet.rows[0].cells == tuple(FRAME.values())


def test_a_first_line_that_names_the_mark_counts() -> None:
    sheet = split("sep=;\r\nname;note\r\na,b,c;d\r\n")
    assert (sheet.heading, sheet.rows[0].cells) == (("name", "note"), ("a,b,c", "d"))


def test_rows_are_counted_as_a_spreadsheet_does() -> None:
    """A line break inside quotes makes no new row; a blank row counts and is passed over."""
    sheet = split('name,note\r\n"a","two\r\nlines"\r\n,\r\nb,c\r\n')
    assert [row.number for row in sheet.rows] == [2, 4]
    assert sheet.rows[0].cells[1] == "two\r\nlines"


# RFC 4180, section 2, points 5 to 7: quoted fields, and a quote within one doubled.
def test_cells_in_quotes_are_read_as_rfc_4180_has_it() -> None:
    sheet = split('aaa,bbb\r\n"b ""b""","x\r\ny"\r\n"c, d",zzz\r\n')
    assert [row.cells for row in sheet.rows] == [('b "b"', "x\r\ny"), ("c, d", "zzz")]


@pytest.mark.parametrize(
    ("heading", "typed", "mm"),
    [
        ("inside A [mm]", "800,5", 800.5),
        ("INSIDE a (MM)", "800.5", 800.5),
        ("inside_a_mm", "800", 800),
        ("inside A, cm", "80", 800),
        ("inside A [in]", "31 1/2", 800.1),
        ('inside A ["]', "31½", 800.1),
        ("Inside A inch", "31.5", 800.1),
        ("inside A  ( mm ) ", "800", 800),
    ],
)
def test_lengths_come_in_by_the_unit_of_their_heading(heading: str, typed: str, mm: float) -> None:
    row = {heading if name == "inside A [mm]" else name: cell for name, cell in FRAME.items()}
    # the international inch is 25.4 mm exactly: ISO 80000-3
    [one] = proposed("frames", paper(row | {heading: typed}))
    assert (one.verdict, one.values["inside_a_mm"]) == ("new", pytest.approx(mm)), faults([one])


def test_places_of_bolts_come_in_inches_too() -> None:
    row = {name.replace("bolts A [mm]", "bolts A [in]"): cell for name, cell in FRAME.items()}
    [one] = proposed("frames", paper(row | {"bolts A [in]": "4 15,5 27.25"}))
    assert one.values["bolts"]["A"] == pytest.approx([101.6, 393.7, 692.15])


def test_a_code_stands_for_its_number() -> None:
    row = {name.replace("number", "code"): cell for name, cell in FRAME.items()}
    [one] = proposed("frames", paper(row | {"code": "f0417 n"}))
    assert (one.name, one.values["number"]) == ("F0417-N", 417)


@pytest.mark.parametrize(
    ("typed", "day"), [("2026-12-03", "2026-12-03"), ("3.12.2026", "2026-12-03")]
)
def test_dates_that_leave_no_doubt_are_taken(typed: str, day: str) -> None:
    [one] = proposed("jobs", paper(JOB | {"due": typed}))
    assert one.values["due"] == day


def test_words_are_taken_however_they_are_written() -> None:
    row = FRAME | {"profile": "RIBBED-u", "step": "1/8", "lock": "wedge_strip"}
    [one] = proposed("frames", paper(row))
    told = [one.values[key] for key in ("profile", "step_48ths", "lock")]
    assert told == ["ribbed_u", 6, "wedge_strip"]


def test_unknown_columns_are_left_out_with_a_hint() -> None:
    from shopfloor.exchange.columns import KINDS
    from shopfloor.exchange.headings import understood

    longer = f"note {'that goes on ' * 7}[mm]"
    heading = (*MESH, "shelf", "nots", longer)
    told = (("shelf", ""), ("nots", "note"), (longer, ""))
    assert understood(KINDS["meshes"], heading).left_out == told


def test_a_job_gathers_its_colours_from_many_rows() -> None:
    red = dict.fromkeys(JOB, "") | {"job": "2291", "colour": "red"}
    [one] = proposed("jobs", paper(JOB, red, red | {"colour": "black"}))
    assert one.verdict == "new", faults([one])
    named = [(part.values["position"], part.values["name"]) for part in one.parts]
    assert named == [(1, "blue"), (2, "red"), (3, "black")]


def test_one_bad_colour_keeps_the_whole_job() -> None:
    red = dict.fromkeys(JOB, "") | {"job": "2291", "colour": "red", "mesh": "gone"}
    [one] = proposed("jobs", paper(JOB, red))
    assert (one.verdict, one.rows) == ("bad", [2, 3])


def test_what_pythons_own_writer_writes_is_read(tmp_path: object) -> None:
    """The csv module of the standard library, whatever dialect, as a second opinion."""
    for dialect in ("excel", "excel-tab", "unix"):
        out = io.StringIO(newline="")
        csv.writer(out, dialect).writerows([list(ENGRAVED), ['a"b', "c,d", "e\nf"]])
        assert split(out.getvalue()).rows[0].cells[:3] == ('a"b', "c,d", "e\nf")
