"""What is written out: no formulas, everything in it, and the same again when taken in."""

import csv
import io
import json
import zipfile
from typing import Any

import pytest
from django.core.management import call_command
from django.test import Client

from frames.models import Colour, Entry, Frame, Job, Mesh, Meter, Operator, Press, ScreenState
from shopfloor.exchange.guarding import bare, guarded
from shopfloor.exchange.lists import LISTS
from shopfloor.exchange.sheets import written
from tests.exchange.paper import FRAME, JOB, MESH, paper
from tests.exchange.test_taking import LISTS as PAGE
from tests.exchange.test_taking import brought, press_take, verdicts
from tests.pages.floor import Floor
from tests.pages.reading import words

FORMULAS = ["=1+1", "+1", "-1", "@SUM(A1)", "\tx", "\rx", "\0x", "＝1", "'=1", "''-1", '=cmd|"x"']
HARMLESS = ["", "a=b", "'quoted'", "22", "F0417-N", "Größe"]
DANGEROUS = tuple("=+-@\t\r\0")


# OWASP ASVS 5.0, requirement 1.2.10: escape by RFC 4180, 2.6 and 2.7, and put a single quote
# before = + - @ tab and NUL where they are the first character of a field.
@pytest.mark.parametrize("text", FORMULAS)
def test_text_that_looks_like_a_formula_is_guarded(text: str) -> None:
    [line] = written([[text]])
    [[cell]] = list(csv.reader(io.StringIO(line.removeprefix("\ufeff"), newline="")))
    assert cell.startswith("'")
    assert bare(cell) == text


@pytest.mark.parametrize("text", HARMLESS)
def test_other_text_stays_as_it_is(text: str) -> None:
    assert guarded(text) == text == bare(text)


def test_numbers_stay_numbers() -> None:
    assert list(written([[-1.5, 22.0, 1e-7, 7, True, None]])) == [
        "\ufeff-1.5,22,0.0000001,7,yes,\r\n"
    ]


def read(pieces: Any) -> list[dict[str, str]]:
    """A list as any other program reads it."""
    text = b"".join(pieces).decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text, newline="")))


def out(client: Client, name: str) -> list[dict[str, str]]:
    return read(client.get(f"{PAGE}out/{name}/list.csv").streaming_content)


@pytest.mark.django_db
def test_no_cell_of_any_list_is_a_formula(sol: Client, floor: Floor) -> None:
    evil = '=HYPERLINK("http://x";"y")'
    floor.make("operator", name=evil, note="@x")
    floor.make("meter", name="+1", resolution_n_per_cm=0.5, note="-x")
    frame = floor.frame(417, second_name=evil, note="\tx", rods="＋1")
    floor.make("job", number="=1", title=evil, tolerance_mm=0.1)
    floor.screen(frame, 21)
    floor.tell("note", {"note": evil}, frame)
    for name in LISTS:
        for row in out(sol, name):
            assert not [cell for cell in row.values() if cell.startswith(DANGEROUS)], name
    assert out(sol, "frames")[0]["second name"] == f"'{evil}"


@pytest.mark.django_db
def test_three_lists_taken_in_again_change_nothing(sol: Client, floor: Floor) -> None:
    press_take(sol, brought(sol, "frames", paper(FRAME | {"second name": "'=x", "note": "-y"})))
    press_take(sol, brought(sol, "meshes", paper(MESH | {"name": "n", "opening [µm]": "80,5"})))
    press_take(sol, brought(sol, "jobs", paper(JOB | {"job": "-7"})))
    for name in ("frames", "meshes", "jobs"):
        text = b"".join(sol.get(f"{PAGE}out/{name}/list.csv").streaming_content)
        assert set(verdicts(brought(sol, name, text))) == {"same"}


@pytest.mark.django_db
def test_lists_of_the_demo_shop_fill_an_empty_book(sol: Client) -> None:
    """Written out, thrown away and taken in, frames, meshes and jobs are as they were."""
    call_command("load_demo", verbosity=0)
    kept = {name: stands(name) for name in ("frames", "meshes", "jobs")}
    answers = {name: sol.get(f"{PAGE}out/{name}/list.csv") for name in kept}
    files = {name: b"".join(answer.streaming_content) for name, answer in answers.items()}
    for model in (Colour, Job, Mesh, Frame):
        model.objects.all().delete()
    for name in ("meshes", "frames", "jobs"):
        upload = brought(sol, name, files[name])
        assert set(verdicts(upload)) == {"new"}, list(upload.lines.values_list("faults"))
        press_take(sol, upload)
    assert {name: stands(name) for name in kept} == kept


def stands(name: str) -> list[dict[str, Any]]:
    """Bodies without what every new row gets anew."""
    model = {"frames": Frame, "meshes": Mesh, "jobs": Job}[name]
    found = []
    for one in model.objects.order_by("pk").all():
        body = {k: v for k, v in one.body().items() if k not in ("id", "version")}
        if name == "jobs":
            body["colours"] = [
                (c.position, c.name, c.ink, c.key, c.mesh and c.mesh.name)
                for c in one.colours.order_by("position")
            ]
        found.append(body)
    return sorted(found, key=lambda body: str(body.get("number") or body.get("name")))


@pytest.mark.django_db
def test_the_archive_holds_everything(sol: Client, floor: Floor) -> None:
    frame = floor.screen(floor.frame(417), 21, 22)
    floor.expose(frame)
    floor.on_press(frame)
    response = sol.get(f"{PAGE}out/all.zip")
    archive = zipfile.ZipFile(io.BytesIO(b"".join(response.streaming_content)))
    assert archive.testzip() is None
    lists = {name.removesuffix(".csv"): read([archive.read(name)]) for name in archive.namelist()}
    assert set(lists) == set(LISTS)
    models = {
        "frames": Frame,
        "meshes": Mesh,
        "colours": Colour,
        "presses": Press,
        "meters": Meter,
        "operators": Operator,
        "screens": ScreenState,
        "entries": Entry,
    }
    assert {n: len(lists[n]) for n in models} == {n: m.objects.count() for n, m in models.items()}
    [screen], [place] = lists["screens"], lists["places"]
    told = [screen[key] for key in ("frame", "colour", "low [N/cm]", "high [N/cm]")]
    assert told == ["F0417-N", "blue", "21", "22"]
    assert (place["press"], place["station"]) == ("Press 2", "4")


@pytest.mark.django_db
def test_the_log_comes_out_whole(sol: Client, floor: Floor) -> None:
    floor.tell("note", {"note": 'a "quoted"\r\n=line, Größe'}, floor.screen(floor.frame(417), 21))
    rows = out(sol, "entries")
    assert [json.loads(row["entry as it came"]) for row in rows] == [
        entry.raw for entry in Entry.objects.order_by("seq")
    ]


@pytest.mark.django_db
@pytest.mark.parametrize("slug", ["frames", "meshes", "jobs"])
def test_a_list_to_fill_in_can_be_taken_in_as_it_is(slug: str, sol: Client, floor: Floor) -> None:
    text = b"".join(sol.get(f"{PAGE}columns/{slug}/blank.csv").streaming_content)
    upload = brought(sol, slug, text)
    assert set(verdicts(upload)) <= {"new", "change"}, list(upload.lines.values_list("faults"))


@pytest.mark.django_db
def test_the_page_of_columns_is_made_from_the_table(sol: Client, floor: Floor) -> None:
    from shopfloor.exchange.columns import KINDS

    said = words(sol.get(f"{PAGE}columns/"))
    for kind in KINDS.values():
        for column in kind.columns:
            assert f"{column.heading} " in said
            assert column.told in said


@pytest.mark.django_db
def test_unknown_lists_are_not_found(sol: Client) -> None:
    assert sol.get(f"{PAGE}out/passwords/list.csv").status_code == 404
    assert sol.get(f"{PAGE}columns/phones/blank.csv").status_code == 404
