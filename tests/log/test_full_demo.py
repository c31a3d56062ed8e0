"""The demo shop at full size: it stands as its own account says, and shows what shops suffer."""

import json
from collections import Counter
from collections.abc import Iterator
from datetime import datetime, timedelta
from itertools import pairwise
from statistics import mean

import pytest
from django.core.management import call_command
from django.db import transaction
from pytest_django import DjangoDbBlocker

from demo_fixtures.generate import __main__ as small
from demo_fixtures.generate import full
from demo_fixtures.generate.crowd import BURST, LASTS, LOST, REPAIR, SCRAPPED, UNLOGGED
from demo_fixtures.generate.crowd_shop import SLIPPING
from frames.audit import findings
from frames.conditions import condition
from frames.models import Entry, Frame, FrameState, Job, Meter, Press, Refused, ScreenState, Shop
from frames.times import EPOCH, MILLISECOND
from tests.log.accounts import account, place

NOW = datetime.fromisoformat("2027-03-02T14:20:00.000+01:00")
FILES = full.files()
EXPECTED = json.loads(FILES["expected.json"])
pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("shop")]


@pytest.fixture(scope="module")
def shop(
    django_db_setup: None,
    django_db_blocker: DjangoDbBlocker,
    tmp_path_factory: pytest.TempPathFactory,
) -> Iterator[None]:
    """Loaded once: the tests only look."""
    folder = tmp_path_factory.mktemp("full")
    for name, text in FILES.items():
        (folder / name).write_text(text, encoding="utf-8")
    with django_db_blocker.unblock(), transaction.atomic():
        call_command("load_demo", folder=folder, now=NOW, verbosity=0)
        yield
        transaction.set_rollback(True)


def test_a_seed_tells_the_same_shop_again() -> None:
    assert full.files() == FILES


def test_it_holds_the_small_shop_with_the_same_things() -> None:
    things = json.loads(FILES["things.json"])
    of_small = json.loads(small.files()["things.json"])
    assert things[: len(of_small)] == of_small


def test_its_size() -> None:
    sizes = set(Frame.objects.values_list("inside_a_mm", "inside_b_mm"))
    assert (Frame.objects.count(), len(sizes)) == (40, 5)
    assert ScreenState.objects.count() == 70
    assert (Press.objects.count(), Job.objects.count()) == (3, 25)
    assert Entry.objects.count() == EXPECTED["entries"] > 4000
    assert not Refused.objects.exists()
    first = Entry.objects.earliest("corrected_at").corrected_at
    assert NOW - first > timedelta(days=18 * 30)
    assert Entry.objects.latest("corrected_at").corrected_at < NOW


def test_log_feed_and_state_agree() -> None:
    assert list(findings()) == []


@pytest.mark.parametrize("told", EXPECTED["frames"], ids=lambda told: str(told["number"]))
def test_frames_and_screens_stand_as_told(told: dict) -> None:
    frame = FrameState.objects.get(frame=Frame.objects.get(number=told["number"]).id)
    assert place(frame) == told["place"]
    assert [account(screen["screen"]) for screen in told["screens"]] == told["screens"]
    if told["condition"]:
        now = (NOW - EPOCH) // MILLISECOND
        screen = ScreenState.objects.get(screen=frame.screen)
        said = condition(screen.body, Shop.objects.get().body(), now)
        assert said["word"] == told["condition"], said["reason"]
    else:
        assert frame.screen is None


def checks(number: int) -> list[tuple[datetime, float]]:
    """Bare mean readings of a frame, oldest first."""
    frame = Frame.objects.get(number=number)
    told = Entry.objects.filter(frame_id=frame.pk, kind="tension_check").in_order()
    return [
        (
            entry.corrected_at,
            mean(s["along_a_n_per_cm"] for s in entry.raw["payload"]["spots"]),
        )
        for entry in told
        if entry.raw["payload"]["stencil"] == "bare"
    ]


def test_one_frame_loses_tension_faster_than_its_neighbours() -> None:
    def retensions(number: int) -> int:
        frame = Frame.objects.get(number=number)
        screens = ScreenState.objects.filter(frame=frame.pk)
        return sum(screen.body["retensions"] for screen in screens)

    others = [retensions(n) for n in range(413, 435) if n != SLIPPING]
    assert retensions(SLIPPING) > 1.5 * max(others)


def test_one_press_always_needs_tweaks() -> None:
    tweaks = Counter(
        entry.raw["payload"]["press"] for entry in Entry.objects.filter(kind="register_tweak")
    )
    came = Counter(
        entry.raw["payload"]["press"]
        for entry in Entry.objects.filter(kind="moved")
        if entry.raw["payload"]["to"] == "press"
    )
    rate = {p.name: tweaks[str(p.pk)] / came[str(p.pk)] for p in Press.objects.all()}
    assert rate.pop("Carousel") == 2
    assert max(rate.values()) < 0.6


def test_one_meter_reads_high() -> None:
    """On the same screens, the old dial shows more than what the next meter shows before it."""
    ids = {str(m.pk): m.name for m in Meter.objects.all()}
    before: dict[str, float] = {}
    risen: dict[str, list[float]] = {"Old dial": [], "Meter 1": []}
    for entry in Entry.objects.filter(kind="tension_check").in_order():
        payload, screen = entry.raw["payload"], entry.raw["screen"]
        middle = payload["spots"][0]["along_a_n_per_cm"]
        if payload["stencil"] == "coated" and screen in before:
            risen.get(ids[payload["meter"]], []).append(middle - before[screen])
        elif payload["stencil"] == "bare":
            before[screen] = middle
    assert min(len(found) for found in risen.values()) > 30
    assert mean(risen["Old dial"]) - mean(risen["Meter 1"]) > 1


def test_somebody_turned_bolts_and_said_nothing() -> None:
    """Tension only rises between two checks where turns were logged; once it did without."""
    frame = Frame.objects.get(number=UNLOGGED)
    turned = Entry.objects.filter(frame_id=frame.pk, kind__in=("bolt_turns", "mesh_fitted"))
    times = list(turned.values_list("corrected_at", flat=True))
    seen = checks(UNLOGGED)
    jumps = [
        later - earlier
        for (start, earlier), (end, later) in pairwise(seen)
        if later - earlier > 1.5 and not any(start < at < end for at in times)
    ]
    assert len(jumps) == 1


def test_bursts_and_frames_that_are_not_there() -> None:
    burst = Entry.objects.filter(kind="burst")
    numbers = set(Frame.objects.filter(pk__in=burst.values("frame_id")).values_list("number"))
    assert numbers == {(406,), (BURST,), *((number,) for number in LASTS)}
    away = dict(FrameState.objects.values_list("frame", "place_kind"))
    by_number = {frame.number: away[frame.pk] for frame in Frame.objects.all() if frame.pk in away}
    assert [by_number[n] for n in (REPAIR, LOST, SCRAPPED)] == ["repair", "lost", "scrapped"]


def test_some_stencils_are_kept_for_a_repeat() -> None:
    kept = Job.objects.filter(keep_stencils=True).values("pk")
    held = ScreenState.objects.live().filter(job__in=kept)
    assert {screen.stencil for screen in held} == {"inspected"}
    assert held.count() >= 3
