"""Jobs and their colours: what is printed, on which screens, and why not yet."""

from datetime import timedelta
from typing import Any

import pytest
from django.http import HttpResponse
from django.test import Client
from django.utils import timezone

from frames import things
from frames.models import Colour, Job
from tests.pages.floor import Floor
from tests.pages.reading import errors, fields, words

pytestmark = pytest.mark.django_db
JOBS = "/office/jobs/"


def make(client: Client, **typed: Any) -> HttpResponse:
    address = f"{JOBS}new/"
    good = {"number": "2300", "title": "Mugs", "tolerance_mm": "0,15"}
    return client.post(address, fields(client.get(address)) | good | typed)


def shown(client: Client, **asked: str) -> list[str]:
    return [job.number for job in client.get(JOBS, asked).context["listing"].page]


def test_a_job_and_then_its_colours(sol: Client, floor: Floor) -> None:
    response = make(sol, due="2026-12-03", run="900", customer_ref="PO 7")
    job = Job.objects.get(number="2300")
    assert (str(job.due), job.run, job.tolerance_mm) == ("2026-12-03", 900, 0.15)
    address = f"{JOBS}{job.pk}/colours/new/"
    assert response["Location"] == address
    first = fields(sol.get(address))
    assert (first["position"], first.get("key")) == ("1", "on")
    again = sol.post(address, first | {"name": "white", "mesh": str(floor.mesh.pk), "more": "1"})
    assert again["Location"] == address
    second = fields(sol.get(address))
    assert (second["position"], second.get("key")) == ("2", None)
    assert sol.post(address, second | {"name": "red"})["Location"] == f"{JOBS}{job.pk}/"
    kept = [(c.position, c.name, c.mesh_id, c.key) for c in job.colours.all()]
    assert kept == [(1, "white", floor.mesh.pk, True), (2, "red", None, False)]


BAD = [
    ("number", "", "Nothing written. Fill it in."),
    ("number", "2291", "“2291”: Choose another number: a job has this one."),
    ("title", "", "Nothing written. Fill it in."),
    ("tolerance_mm", "0", "“0”: Give the register tolerance, up to 10 mm."),
    ("run", "many", "“many” is not a number. Write it like 22."),
    (
        "due",
        "soon",
        "This is not a date. Choose it from the calendar, or write it like 2026-12-03.",
    ),
]


@pytest.mark.parametrize(("field", "typed", "sentence"), BAD)
def test_bad_input_names_field_value_and_remedy(
    field: str, typed: str, sentence: str, sol: Client, floor: Floor
) -> None:
    response = make(sol, **{"note": "kept", field: typed})
    assert errors(response)[field] == [sentence]
    held = fields(response)
    assert (held[field], held["note"]) == (typed, "kept")


def test_the_table_holds_open_jobs_by_due_date(sol: Client, floor: Floor) -> None:
    make(sol, number="A", due="2026-12-24")
    make(sol, number="B", due="2026-12-03", customer_ref="Harbour")
    make(sol, number="C", done="on")
    assert shown(sol, sort="due") == ["B", "A", "2291"]
    assert shown(sol, shown="done") == ["C"]
    assert shown(sol, search="harbour") == ["B"]
    assert shown(sol, sort="-number") == ["B", "A", "2291"]


def test_a_late_job_says_so(sol: Client, floor: Floor) -> None:
    yesterday = timezone.localdate() - timedelta(days=1)
    things.change("job", floor.job.pk, {"due": yesterday}, 1, "desk:mara")
    assert "late" in words(sol.get(JOBS))


def test_each_colour_says_its_screens_and_why_it_is_not_ready(sol: Client, floor: Floor) -> None:
    def ready() -> str:
        [row] = sol.get(f"{JOBS}{floor.job.pk}/").context["rows"]
        return row.why

    assert ready() == "no screen exposed yet"
    frame = floor.frame(1)
    floor.screen(frame, 18)
    floor.expose(frame)
    assert ready() == "stencil not inspected"
    floor.tell("inspected", {"passed": True, "note": ""}, frame)
    assert ready() == "The lowest spot reads 18; wanted is 22 ± 1½ N/cm."
    floor.check(frame, 22, hours=0)
    assert ready() == "ready"
    said = words(sol.get(f"{JOBS}{floor.job.pk}/"))
    assert "1 blue key any mesh F0001-" in said
    floor.tell("burst", {"where": "edge"}, frame, hours=0)
    assert ready() == "no screen exposed yet"


def test_two_screens_for_one_colour_one_is_enough(sol: Client, floor: Floor) -> None:
    for number, reading in ((1, 18), (2, 22)):
        frame = floor.screen(floor.frame(number), reading)
        floor.expose(frame)
        floor.tell("inspected", {"passed": True, "note": ""}, frame)
    [row] = sol.get(f"{JOBS}{floor.job.pk}/").context["rows"]
    assert len(row.stands) == 2
    assert row.is_ready


def test_a_job_is_changed_and_finished(sol: Client, floor: Floor) -> None:
    address = f"{JOBS}{floor.job.pk}/change/"
    response = sol.post(address, fields(sol.get(address)) | {"done": "on", "substrate": "steel"})
    assert response["Location"] == f"{JOBS}{floor.job.pk}/"
    floor.job.refresh_from_db()
    assert (floor.job.done, floor.job.substrate) == (True, "steel")


def test_a_colour_is_changed_and_retired(sol: Client, floor: Floor) -> None:
    address = f"{JOBS}{floor.job.pk}/colours/{floor.colour.pk}/"
    held = fields(sol.get(address))
    held.pop("key")
    sol.post(address, held | {"name": "navy"})
    colour = Colour.objects.get()
    assert (colour.name, colour.key) == ("navy", False)
    response = sol.post(f"/office/retire/colour/{colour.pk}/", {"version": "2"}, follow=True)
    assert "No colours yet." in words(response)


def test_a_colour_belongs_to_its_job(sol: Client, floor: Floor) -> None:
    make(sol)
    other = Job.objects.get(number="2300")
    assert sol.get(f"{JOBS}{other.pk}/colours/{floor.colour.pk}/").status_code == 404
