"""A job page reads from coat to print: what is done, what is missing, what comes next."""

import pytest
from django.test import Client

from frames import things
from frames.models import Colour, Job
from shopfloor.office.coat_to_print import Row
from tests.pages.floor import Floor
from tests.pages.reading import errors, fields, words

pytestmark = pytest.mark.django_db


def only_row(client: Client, job: Job) -> Row:
    [row] = client.get(f"/office/jobs/{job.pk}/").context["rows"]
    return row


def done(row: Row) -> list[str]:
    return [step for step, is_done in row.steps if is_done]


def sign(floor: Floor, *, signed: bool = True, hours: float = 0.5) -> dict:
    payload = {"signed": signed, "colours": [str(floor.colour.pk)], "press": None, "note": ""}
    subject = {"kind": "job", "id": str(floor.job.pk)}
    return floor.tell("ok_sheet", payload, subject=subject, hours=hours)


def test_what_comes_next_at_every_stage(sol: Client, floor: Floor) -> None:
    things.change("job", floor.job.pk, {"run": 900}, 1, "desk:mara")
    things.change("colour", floor.colour.pk, {"mesh": str(floor.mesh.pk)}, 1, "desk:mara")
    following = lambda: only_row(sol, floor.job).following  # noqa: E731
    assert following() == "No free screen with 77-48 polyester holds: stretch or retension one."
    frame = floor.screen(floor.frame(1), 22)
    assert following() == f"Coat one that is free: {frame.code}."
    floor.tell("coated", {"note": ""}, frame, hours=1.9)
    assert following() == f"Expose one that is coated: {frame.code}."
    floor.expose(frame, hours=1.8)
    assert following() == f"Inspect the stencil on {frame.code}."
    floor.tell("inspected", {"passed": True, "note": ""}, frame, hours=1.7)
    assert done(only_row(sol, floor.job)) == ["exposed", "inspected", "holds tension"]
    assert following() == f"Put {frame.code} on the press."
    floor.on_press(frame, hours=1.6)
    tweak = floor.tweak(frame, hours=1.5)
    assert following() == f"Pull one and give the after marks of {frame.code}."
    after = {"tweak": tweak["id"], "marks": [], "verdict": "in_register"}
    floor.tell("after_marks", after, frame, hours=1.4)
    assert following() == "Pull the OK sheet and have it signed."
    sign(floor)
    assert following() == "Print 900 more."
    floor.tell("impressions", {"mode": "counter", "count": 900}, frame, hours=0.2)
    row = only_row(sol, floor.job)
    assert row.following == "Nothing more to do."
    assert done(row)[-2:] == ["OK sheet", "printed 900 of 900"]
    assert "Next: Nothing more to do." in words(sol.get(f"/office/jobs/{floor.job.pk}/"))


def test_a_screen_that_went_low_is_not_ready_and_says_why(sol: Client, floor: Floor) -> None:
    frame = floor.screen(floor.frame(1), 22)
    floor.expose(frame)
    floor.tell("inspected", {"passed": True, "note": ""}, frame)
    floor.check(frame, 18, hours=0.1, stencil="coated")
    row = only_row(sol, floor.job)
    assert row.why == "The lowest spot reads 18; wanted is 22 ± 1½ N/cm."
    assert row.following == f"Measure {frame.code} again; if it stays so, make another screen."


def test_a_lost_screen_is_not_ready(sol: Client, floor: Floor) -> None:
    frame = floor.screen(floor.frame(1), 22)
    floor.expose(frame)
    floor.tell("inspected", {"passed": True, "note": ""}, frame)
    floor.tell("moved", {"to": "lost"}, frame, hours=0.1)
    assert only_row(sol, floor.job).why == f"{frame.code} is lost"


def test_a_free_screen_of_another_mesh_or_size_is_not_offered(sol: Client, floor: Floor) -> None:
    size = {"inside_a_mm": 600, "inside_b_mm": 750}
    things.change("job", floor.job.pk, size, 1, "desk:mara")
    floor.screen(floor.frame(1), 22)
    assert only_row(sol, floor.job).following.startswith("No free screen with a mesh of your")


def test_no_frame_is_offered_to_two_colours(sol: Client, floor: Floor) -> None:
    floor.make("colour", job=str(floor.job.pk), position=2, name="red")
    offered = lambda: [  # noqa: E731
        row.following for row in sol.get(f"/office/jobs/{floor.job.pk}/").context["rows"]
    ]
    coated = floor.screen(floor.frame(1), 22)
    floor.tell("coated", {"note": ""}, coated, hours=1.9)
    none = "No free screen with a mesh of your choice holds: stretch or retension one."
    assert offered() == [f"Expose one that is coated: {coated.code}.", none]
    bare = [floor.screen(floor.frame(n), 22).code for n in (2, 3)]
    assert offered() == [
        f"Expose one that is coated: {coated.code}.",
        f"Coat one that is free: {', '.join(bare)}.",
    ]


def test_two_colours_cannot_both_be_the_key_colour(sol: Client, floor: Floor) -> None:
    address = f"/office/jobs/{floor.job.pk}/colours/new/"
    held = fields(sol.get(address))
    assert "key" not in held
    response = sol.post(address, held | {"name": "red", "key": "on"})
    remedy = "Untick it at blue first: a job has one key colour."
    assert errors(response) == {"key": [f"“red”: {remedy}"]}


def test_what_changed_since_the_ok_sheet(sol: Client, floor: Floor) -> None:
    frame = floor.screen(floor.frame(1), 22)
    floor.expose(frame)
    floor.on_press(frame)
    floor.tweak(frame, hours=2)
    sign(floor, hours=1.5)
    page = f"/office/jobs/{floor.job.pk}/"
    assert "Nothing was changed on these screens since." in words(sol.get(page))
    late = floor.tweak(frame, hours=1)
    floor.check(frame, 21, hours=0.9, stencil="coated")
    [changed] = sol.get(page).context["changed"]
    assert (changed.colour, changed.frame) == (floor.colour, frame.code)
    assert [line.told for line in changed.lines] == ["Tweaked: A1, A2 +1 flat. Seen: one corner"]
    floor.tell("void", {"voids": late["id"], "reason": "other frame"}, frame, hours=0.5)
    assert sol.get(page).context["changed"] == []


def test_a_sheet_sent_back_takes_the_signed_one_out(sol: Client, floor: Floor) -> None:
    floor.expose(floor.screen(floor.frame(1), 22))
    sign(floor, hours=2)
    assert "OK sheet" in done(only_row(sol, floor.job))
    sign(floor, signed=False, hours=1)
    row = only_row(sol, floor.job)
    assert "OK sheet" not in done(row)
    assert "OK sheet not accepted: blue" in words(sol.get(f"/office/jobs/{floor.job.pk}/"))


def test_a_repeat_prints_with_the_stencils_that_were_kept(sol: Client, floor: Floor) -> None:
    frame = floor.screen(floor.frame(1), 22)
    floor.expose(frame)
    floor.tell("inspected", {"passed": True, "note": ""}, frame)
    address = f"/office/jobs/{floor.job.pk}/repeat/"
    response = sol.post(address, fields(sol.get(address)) | {"number": "2299"}, follow=True)
    assert "It prints with the kept stencils." in words(response)
    again = Job.objects.get(number="2299")
    [colour] = Colour.objects.filter(job=again)
    assert (colour.name, colour.key, colour.repeats, again.keep_stencils) == (
        "blue", True, floor.colour, True,
    )  # fmt: skip
    row = only_row(sol, again)
    assert [stand.frame for stand in row.stands] == [frame]
    assert "stencil of job 2291" in words(sol.get(f"/office/jobs/{again.pk}/"))
    third = f"/office/jobs/{again.pk}/repeat/"
    sol.post(third, fields(sol.get(third)) | {"number": "2300"})
    assert Colour.objects.get(job__number="2300").repeats == floor.colour


def test_a_repeat_that_does_not_fit_leaves_nothing_behind(sol: Client, floor: Floor) -> None:
    address = f"/office/jobs/{floor.job.pk}/repeat/"
    response = sol.post(address, fields(sol.get(address)) | {"number": "2291"})
    assert "number" in errors(response)
    assert (Job.objects.count(), Colour.objects.count()) == (1, 1)
