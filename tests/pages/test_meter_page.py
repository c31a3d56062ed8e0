"""The page of a meter: zero checks, kept studies, one screen by two meters, marked readings."""

import pytest
from django.test import Client

from frames import derived
from frames.models import Derived, Meter
from tests.pages.floor import Floor
from tests.pages.reading import words
from tests.pages.test_meter_study import GOOD

pytestmark = pytest.mark.django_db
STUDY = "/office/shop/meters/study/"


def page(floor: Floor) -> str:
    return f"/office/shop/meters/{floor.meter.pk}/page/"


def zero(floor: Floor, shown: float, hours: float) -> None:
    about = {"subject": {"kind": "meter", "id": str(floor.meter.pk)}}
    floor.tell("meter_zeroed", {"zero_n_per_cm": shown, "note": ""}, hours=hours, **about)


def test_a_study_is_kept_with_its_day_and_without_names(floor: Floor, mara: Client) -> None:
    """Mean range 0.25, so repeatability 0.25 x 0.5908 = 0.15."""
    told = {"meter": str(floor.meter.pk), "readings": GOOD, "keep": "yes"}
    answer = mara.post(STUDY, told, follow=True)
    assert answer.redirect_chain[-1][0] == page(floor)
    said = words(answer)
    assert "tells screens apart well 2 3 3 ± 0.15" in said
    assert "Ilka" not in said
    kept = Meter.objects.get(pk=floor.meter.pk)
    assert [len(study["readings"]) for study in kept.studies] == [2]
    assert "Ilka" not in str(kept.studies)
    mara.post(STUDY, told)
    assert len(Meter.objects.get(pk=floor.meter.pk).studies) == 2


def test_to_keep_a_study_takes_a_meter(floor: Floor, mara: Client) -> None:
    said = words(mara.post(STUDY, {"readings": GOOD, "keep": "yes"}))
    assert "Choose the meter that was read with." in said
    assert "This meter tells screens apart well." in said
    assert Meter.objects.get(pk=floor.meter.pk).studies == []


def test_its_scatter_counts_in_forecasts(floor: Floor, mara: Client) -> None:
    """24 degrees of freedom beside the 10 that are believed beforehand."""
    wide = "\n".join(f"{who}; {place}; 18 22 26" for who in "ab" for place in "uvwxyz")
    mara.post(STUDY, {"meter": str(floor.meter.pk), "readings": wide, "keep": "yes"})
    floor.screen(floor.frame(7), 22, 22)
    derived.follow_up(None)
    usual = Derived.objects.of_kind("usual").get().body
    assert usual["noise"][str(floor.meter.pk)] == pytest.approx((386.5 / 34) ** 0.5, abs=0.01)
    assert "± 3.4 N/cm" in words(mara.get(page(floor)))


def test_zero_checks_and_the_readings_before_one_that_is_out(floor: Floor, mara: Client) -> None:
    frame = floor.frame(7)
    floor.fit(frame, hours=400)
    zero(floor, 0.0, 300)
    floor.check(frame, 22.0, hours=290)
    floor.check(frame, 21.8, hours=200)
    assert "In 1 zero check it was never out." in words(mara.get(page(floor)))
    zero(floor, 1.5, 100)
    derived.follow_up(None)
    said = words(mara.get(page(floor)))
    assert "In 2 zero checks it was out once; what it read before is marked." in said
    assert said.count("in doubt") == 1
    shown = words(mara.get(f"/office/frames/{frame.pk}/"))
    assert shown.count("meter was out by 1.5") == 2
    assert "Meter out Its meter showed 1.5 N/cm on glass" in shown
    assert "Read with a meter that was out" in words(mara.get("/office/"))
    floor.check(frame, 21.7, hours=1)
    derived.follow_up(None)
    assert "Read with a meter that was out" not in words(mara.get("/office/"))


def test_the_same_screen_by_two_meters(floor: Floor, mara: Client) -> None:
    other = floor.make("meter", name="Meter 5", resolution_n_per_cm=0.5)
    frame = floor.frame(7)
    floor.fit(frame, hours=400)
    floor.check(frame, 22.0, hours=200)
    made = floor.reading(frame, 21.5, hours=199.8)
    made["payload"]["meter"] = str(other.pk)
    floor.send([made])
    floor.check(frame, 21.0, hours=100)
    derived.follow_up(None)
    said = words(mara.get(page(floor)))
    assert "F0007" in said
    assert "22 Meter 5 21½ 0.5" in said
    assert said.count("Meter 5") == 1


def test_a_meter_without_anything_has_a_page_too(floor: Floor, mara: Client) -> None:
    said = words(mara.get(page(floor)))
    assert "Its zero was never checked." in said
    assert "No study yet." in said
