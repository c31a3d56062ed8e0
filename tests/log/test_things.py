"""The door for things: checked, versioned, in the feed in the same transaction."""

from datetime import date
from typing import Any

import pytest

from frames import feed, log, things
from frames.errors import Conflict, NotFound, ThingError
from frames.models import THINGS, Feed, Frame, Shop, Thing
from frames.times import moment
from tests.log.making import START_MS, Maker
from tests.log.shop import VALUES, frame_values, furnished, mesh_values

pytestmark = pytest.mark.django_db
NOW = moment(START_MS)


@pytest.fixture
def made() -> dict[str, Thing]:
    return furnished()


def faults(kind: str, values: dict[str, Any]) -> list[tuple[str, str]]:
    stood = feed.head()
    with pytest.raises(ThingError) as caught:
        things.create(kind, values, "test")
    assert feed.head() == stood
    return [(problem.field, problem.remedy) for problem in caught.value.problems]


@pytest.mark.parametrize("kind", THINGS)
def test_every_kind_is_told_in_the_feed_as_it_stands(made: dict[str, Thing], kind: str) -> None:
    change = Feed.objects.get(type="thing", kind=kind)
    assert change.seq == made[kind].seq
    assert change.body == made[kind].body()
    assert (change.body["id"], change.body["version"]) == (str(made[kind].id), 1)
    made[kind].refresh_from_db()
    assert change.body == made[kind].body()


def test_changes_raise_the_version_and_keep_the_rest(made: dict[str, Thing]) -> None:
    after = things.change("job", made["job"].id, {"done": True}, 1, "Ilka", at=NOW)
    assert (after.version, after.done, after.title, after.due) == (
        2,
        True,
        "Rim bands",
        date(2026, 12, 1),
    )
    assert (after.changed_by, after.changed_at) == ("Ilka", NOW)
    assert after.created_at == made["job"].created_at
    assert Feed.objects.latest("seq").body == after.body()


def test_saving_over_someone_else_s_change_is_a_conflict(made: dict[str, Thing]) -> None:
    things.change("meter", made["meter"].id, {"name": "Meter A"}, 1, "Ilka")
    stood = feed.head()
    with pytest.raises(Conflict) as caught:
        things.change("meter", made["meter"].id, {"name": "Meter B"}, 1, "Tomas")
    assert caught.value.current["name"] == "Meter A"
    assert caught.value.problems[0].remedy == "Look at what changed, then save again."
    assert feed.head() == stood


def test_retiring_hides_and_can_be_undone(made: dict[str, Thing]) -> None:
    frame = things.retire("frame", made["frame"].id, 1, "Ilka")
    assert (frame.retired, Frame.objects.in_use().count()) == (True, 0)
    frame = things.retire("frame", frame.id, 2, "Ilka", retired=False)
    assert (frame.version, Frame.objects.in_use().count()) == (3, 1)


@pytest.mark.parametrize("id", ["00000000-0000-4000-8000-000000000000", "F0417-N", ""])
def test_what_is_not_in_the_book_cannot_be_changed(made: dict[str, Thing], id: str) -> None:
    with pytest.raises(NotFound) as caught:
        things.change("frame", id, {}, 1, "test")
    assert caught.value.problems[0].field == "id"


def test_frames_are_numbered_on_and_coded(made: dict[str, Thing]) -> None:
    assert (made["frame"].number, made["frame"].code) == (1, "F0001-0")
    chosen = things.create("frame", frame_values(number=417), "test")
    assert chosen.code == "F0417-N"
    assert things.create("frame", frame_values(), "test").number == 418
    renumbered = things.change("frame", chosen.id, {"number": 7}, 1, "test")
    assert renumbered.code.startswith("F0007-")


def test_a_new_prefix_leaves_the_codes_that_are_on_labels(made: dict[str, Thing]) -> None:
    things.change("shop", Shop.objects.get().id, {"prefix": "SB"}, 1, "test")
    noted = things.change("frame", made["frame"].id, {"note": "dent"}, 1, "test")
    assert noted.code == "F0001-0"
    assert things.create("frame", frame_values(), "test").code.startswith("SB0002-")


def test_bolts_of_a_used_frame_stay_where_they_are(made: dict[str, Thing]) -> None:
    frame = made["frame"]
    moved = frame_values()["bolts"] | {"A": [50, 180, 300, 420, 540]}
    frame = things.change("frame", frame.id, {"bolts": moved}, 1, "test")
    maker = Maker(1)
    maker.frames[0].id = str(frame.id)
    log.append([maker.fit(maker.frames[0])], device="phone:1", received_at=NOW)
    with pytest.raises(ThingError) as caught:
        things.change("frame", frame.id, {"bolts": frame_values()["bolts"]}, 2, "test")
    (problem,) = caught.value.problems
    assert (problem.field, problem.remedy) == (
        "bolts",
        "Make a new frame: this one has been used, so its size and bolts stay.",
    )
    assert things.change("frame", frame.id, {"note": "dent"}, 2, "test").note == "dent"


CLAMP = "End the clamp after where it begins."
ALONE = [
    (
        "frame",
        {"inside_a_mm": 40},
        "inside_a_mm",
        "Give the inside size in mm, from 50 to 6000, lock to lock.",
    ),
    (
        "frame",
        {"pitch_mm": 0},
        "pitch_mm",
        "Give how far one turn moves the bolt, from 0.2 to 5 mm.",
    ),
    ("frame", {"head": "torx"}, "head", "Choose one of: hex, socket."),
    (
        "frame",
        {"step_48ths": 4},
        "step_48ths",
        "Choose sixths (8), eighths (6) or sixteenths (3) of a turn.",
    ),
    ("frame", {"profile": "i_beam"}, "profile", "Choose one of: plain_u, ribbed_u, boxed_u."),
    ("frame", {"lock": "glue"}, "lock", "Choose one of: twin_rod, wedge_strip."),
    ("frame", {"number": 0}, "number", "Give the frame a number from 1."),
    ("frame", {"number": 1}, "number", "Choose another number: a frame has this one."),
    (
        "frame",
        {"bolts": {"A": [1], "B": [1], "C": [1]}},
        "bolts.D",
        "Give the bolt places of side D.",
    ),
    (
        "frame",
        {"bolts": {"A": []}},
        "bolts.A",
        "Give at least one bolt place in mm from the side's first corner.",
    ),
    ("frame", {"bolts": {"E": [1]}}, "bolts.E", "Choose one of: A, B, C, D."),
    ("frame", {"colour": "red"}, "colour", "Leave this out: there is no such field."),
    ("mesh", {"material": "silk"}, "material", "Choose one of: polyester, stainless, other."),
    (
        "mesh",
        {"thread_um": 4},
        "thread_um",
        "Give the thread's diameter in micrometres, from 5 to 2000.",
    ),
    (
        "mesh",
        {"target_n_per_cm": 27},
        "target_n_per_cm",
        "Keep the target at or below the cap of 26 N/cm.",
    ),
    (
        "mesh",
        {"tension_max_n_per_cm": 30},
        "cap_n_per_cm",
        "Raise the cap to at least 30 N/cm, or lower the range.",
    ),
    (
        "mesh",
        {"tension_min_n_per_cm": 22, "tension_max_n_per_cm": 20},
        "tension_max_n_per_cm",
        "Give a largest tension of at least 22 N/cm.",
    ),
    (
        "mesh",
        {"card": {"opening_um": {"value": 45, "origin": "guessed"}}},
        "card.opening_um.origin",
        "Choose one of: nominal, calculated, measured.",
    ),
    ("press", {"stations": 0}, "stations", "Give the number of stations, from 1 to 99."),
    ("press", {"clamps": [{"side": "far", "from_mm": 100}]}, "clamps.0.to_mm", CLAMP),
    ("press", {"clamps": [{"side": "far", "from_mm": 9, "to_mm": 9}]}, "clamps.0.to_mm", CLAMP),
    (
        "meter",
        {"resolution_n_per_cm": 0},
        "resolution_n_per_cm",
        "Give the meter's smallest step, up to 5 N/cm.",
    ),
    ("operator", {"name": ""}, "name", "Give a name of 1 to 80 characters."),
    ("operator", {"name": "a\x00b"}, "name", "Give a name of 1 to 80 characters."),
    ("job", {"due": "1.12.2026"}, "due", "Give the date as year-month-day."),
    ("job", {"tolerance_mm": 0}, "tolerance_mm", "Give the register tolerance, up to 10 mm."),
    ("job", {}, "number", "Choose another number: a job has this one."),
    ("shop", {"prefix": "f"}, "prefix", "Choose 1 to 3 capital letters to begin every frame code."),
    ("shop", {}, "name", "Change the shop that is there: a book has one shop."),
]


@pytest.mark.parametrize(("kind", "changes", "field", "remedy"), ALONE)
def test_what_is_said_about_values_that_do_not_fit(
    made: dict[str, Thing], kind: str, changes: dict[str, Any], field: str, remedy: str
) -> None:
    assert (field, remedy) in faults(kind, VALUES[kind] | changes)


@pytest.mark.parametrize("kind", VALUES)
def test_what_is_missing_is_named(kind: str) -> None:
    assert all(remedy == "Fill this in: it is missing." for _, remedy in faults(kind, {}))


def test_bolt_places_must_rise_and_lie_within_the_side(made: dict[str, Thing]) -> None:
    bolts = {"A": [60, 60], "B": [750], "C": [599.9], "D": [300, 100]}
    assert faults("frame", frame_values(bolts=bolts)) == [
        ("bolts.A", "Give the bolt places in rising order, each once."),
        ("bolts.B", "Keep the bolts within the side's 750 mm."),
        ("bolts.D", "Give the bolt places in rising order, each once."),
    ]


def test_second_names_are_unique_among_frames_in_use(made: dict[str, Thing]) -> None:
    named = things.create("frame", frame_values(second_name="K1"), "test")
    remedy = "Choose another second name: a frame has this one."
    assert faults("frame", frame_values(second_name="k1")) == [("second_name", remedy)]
    things.retire("frame", named.id, 1, "test")
    things.create("frame", frame_values(second_name="k1"), "test")


def test_a_colour_needs_a_job_and_a_mesh_of_the_book(made: dict[str, Thing]) -> None:
    unknown, job = "00000000-0000-4000-8000-000000000000", str(made["job"].id)
    colour = {"job": unknown, "position": 1, "name": "blue"}
    assert faults("colour", colour)[0][0] == "job"
    assert faults("colour", colour | {"job": job, "mesh": unknown})[0][0] == "mesh"


def test_a_frame_needs_a_shop_for_its_code() -> None:
    remedy = "Set up the shop first: its name and the letters of its codes."
    assert faults("frame", frame_values()) == [("shop", remedy)]


def test_a_mesh_keeps_its_card(made: dict[str, Thing]) -> None:
    card = {"opening_um": {"value": 73, "origin": "nominal"}}
    mesh = things.create("mesh", mesh_values(card=card), "test")
    mesh.refresh_from_db()
    assert mesh.card == card
