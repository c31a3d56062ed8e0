"""Files that cannot be read as a list, each with what the person is told; nothing is taken."""

import codecs

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from frames.errors import BadInput
from frames.models import Mesh
from shopfloor.exchange.decoding import MOST_BYTES
from shopfloor.exchange.models import Upload
from tests.exchange.paper import FRAME, MESH, paper, proposed
from tests.pages.floor import Floor

HEADING = ";".join(FRAME)
ONE_ROW = ";".join(FRAME.values())


def without(*names: str, row: dict[str, str] = FRAME) -> str:
    return paper({name: value for name, value in row.items() if name not in names})


def renamed(old: str, new: str, row: dict[str, str] = FRAME) -> str:
    return paper({new if name == old else name: value for name, value in row.items()})


FILES: dict[str, tuple[bytes | str, str]] = {
    "no bytes": (b"", "file: Choose another file: nothing is in this one."),
    "a mark and nothing else": (codecs.BOM_UTF8 + b"\r\n", "nothing is in this one."),
    "only marks": (";;;;\r\n;;;;\r\n", "nothing is in this one."),
    "a workbook": (b"PK\x03\x04" + b"x" * 50, "a workbook, not a CSV file”: Open it in your"),
    "an old workbook": (b"\xd0\xcf\x11\xe0\xa1", "an old workbook, not a CSV file”"),
    "a PDF": (b"%PDF-1.7 ...", "a PDF, not a CSV file”: Open it in your spreadsheet program"),
    "a picture": (b"\x89PNG\r\n\x1a\n....", "a picture, not a CSV file”"),
    "too large": (b"x" * (MOST_BYTES + 1), "file “8.0 MB”: Split it: a file may have up to 8 MB."),
    "a heading alone": (HEADING, "rows “0”: Choose a file with rows below its heading"),
    "too many rows": (
        f"{HEADING}\n" + f"{ONE_ROW}\n" * 10_001,
        "rows “10001”: Split it: a file may have 10000 rows.",
    ),
    "a letter that is none": (
        b"name;note\n\xff\xfe\x81;\x81",
        "letters that cannot be read”: Save it again as “CSV UTF-8”",
    ),
    "a broken UTF-16": (codecs.BOM_UTF16_LE + b"n\0a", "Save it again as “CSV UTF-8”"),
    "zeros inside": (b"name;note\nx\0y;z and more text", "file “no text”: Open it in your"),
    "a quotation mark left open": (
        f'{HEADING}\n{ONE_ROW}\n"{ONE_ROW}\n',
        "row 3 “a quotation mark without its partner”: Close the quotation mark",
    ),
    "a quotation mark inside": (f'{HEADING}\n"K"417;x\n', "row 2 “a quotation mark without"),
    "a cell without end": (f"{HEADING}\n{'x' * 4001}\n", "row 2 “a cell of 4001 characters”"),
    "no heading at all": (f"{ONE_ROW}\n{ONE_ROW}\n", "Add the column “profile”."),
    "a column missing": (without("pitch [mm]"), "heading: Add the column “pitch [mm]”."),
    "far too many columns": (
        f"{HEADING}{';' * 200}x\n{ONE_ROW}\n",
        "heading “213 columns”: Leave columns out: a list may have up to 200.",
    ),
    "a column misspelt": (
        renamed("profile", "profil"),
        "Add the column “profile”, or rename “profil” if that is it.",
    ),
    "a column twice": (
        renamed("second name", "inside_a_mm"),
        "heading “inside A [mm]”: Keep one of them: “inside_a_mm” is the same column.",
    ),
    "a length without unit": (
        renamed("inside A [mm]", "inside A"),
        "heading “inside A”: Say the unit in the heading: “inside A [mm]” or “inside A [in]”.",
    ),
    "a length in feet": (
        renamed("inside A [mm]", "inside A [ft]"),
        "Use a unit that is known here: “inside A [mm]” or “inside A [in]”.",
    ),
}
MESH_FILES = {
    "a tension over an area": (
        renamed("target [N/cm]", "target [N/cm²]", MESH),
        "heading “target [N/cm²]”: Use a unit that is known here: “target [N/cm]”.",
    ),
}


def told(slug: str, data: bytes | str) -> list[str]:
    with pytest.raises(BadInput) as problem:
        proposed(slug, data)
    return [sentence(p.field, p.value, p.remedy) for p in problem.value.problems]


def sentence(field: str, value: object, remedy: str) -> str:
    return f"{field} “{value}”: {remedy}" if value is not None else f"{field}: {remedy}"


@pytest.mark.parametrize("name", FILES)
def test_a_broken_file_is_told(name: str) -> None:
    data, says = FILES[name]
    said = told("frames", data)
    assert any(says in line for line in said), said


@pytest.mark.parametrize("name", MESH_FILES)
def test_a_broken_file_of_meshes_is_told(name: str) -> None:
    data, says = MESH_FILES[name]
    assert says in told("meshes", data)


@pytest.mark.django_db
def test_the_page_says_so_and_keeps_nothing(sol: Client, floor: Floor) -> None:
    file = SimpleUploadedFile("meshes.csv", without("material", row=MESH).encode())
    response = sol.post("/office/shop/lists/", {"slug": "meshes", "file": file})
    assert response.status_code == 400
    assert "Add the column “material”." in response.content.decode()
    assert not Upload.objects.exists()
    assert Mesh.objects.count() == 1


@pytest.mark.django_db
def test_a_missing_file_is_asked_for(sol: Client, floor: Floor) -> None:
    response = sol.post("/office/shop/lists/", {"slug": "frames"})
    assert "Nothing chosen. Choose a CSV file." in response.content.decode()


@pytest.mark.django_db
def test_without_a_shop_nothing_can_come_in(mara: Client) -> None:
    file = SimpleUploadedFile("meshes.csv", paper(MESH).encode())
    response = mara.post("/office/shop/lists/", {"slug": "meshes", "file": file})
    assert "Set up the shop first" in response.content.decode()
