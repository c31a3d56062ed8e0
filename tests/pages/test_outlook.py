"""The frame page tells what the forecast says, while it was made with the last check."""

import pytest
from django.test import Client

from frames import derived
from tests.pages.floor import Floor

pytestmark = pytest.mark.django_db


def page(client: Client, frame: object) -> str:
    return client.get(f"/office/frames/{frame.pk}/").content.decode()


def test_dates_with_band_and_reason(floor: Floor, mara: Client) -> None:
    frame = floor.screen(floor.frame(7), 22.5, 22.4)
    assert "In tolerance until" not in page(mara, frame)
    derived.follow_up(None)
    shown = page(mara, frame)
    assert "Retension by" in shown
    assert "Impressions left" in shown
    assert "less than one in ten" in shown


def test_a_forecast_older_than_the_last_check_is_not_shown(floor: Floor, mara: Client) -> None:
    frame = floor.screen(floor.frame(7), 22.5, 22.4)
    derived.follow_up(None)
    floor.check(frame, 22.3, 22.3, hours=0.1)
    assert "Retension by" not in page(mara, frame)
    derived.follow_up(None)
    assert "Retension by" in page(mara, frame)


def test_a_mesh_fitted_an_hour_ago_rests(floor: Floor, mara: Client) -> None:
    frame = floor.frame(7)
    floor.fit(frame, hours=1)
    floor.check(frame, 22.5, 22.4, hours=0.5)
    derived.follow_up(None)
    shown = page(mara, frame)
    assert "resting" in shown
    assert "Coat from" in shown


def test_a_jump_is_called_out(floor: Floor, mara: Client) -> None:
    frame = floor.frame(7)
    floor.fit(frame, hours=400)
    for hours, value in ((399, 23.0), (300, 22.1), (200, 22.0), (100, 21.9), (2, 16.5)):
        floor.check(frame, value, value, hours=hours)
    derived.follow_up(None)
    shown = page(mara, frame)
    assert "Read it again before you rely on it." in shown
    assert "slipped" in shown


def test_departures_name_the_rule_that_speaks(floor: Floor, mara: Client) -> None:
    frame = floor.frame(7)
    floor.fit(frame, hours=400)
    for hours, value in ((399, 23.0), (300, 22.1), (200, 22.0), (100, 21.9), (2, 16.5)):
        floor.check(frame, value, value, hours=hours)
    derived.follow_up(None)
    shown = page(mara, frame)
    assert "Departures from the forecast" in shown
    assert shown.count("one point beyond 3 sigma") == 1


def test_a_meter_tells_zero_and_noise(floor: Floor, mara: Client) -> None:
    frame = floor.frame(7)
    floor.fit(frame, hours=400)
    for hours in (300, 200, 100):
        floor.check(frame, 22.0, hours=hours)
        floor.check(frame, 22.5, hours=hours - 0.1)
    about = {"subject": {"kind": "meter", "id": str(floor.meter.pk)}}
    for hours, zero in ((800, -0.4), (500, -0.1), (200, 0.1), (10, 0.3)):
        floor.tell("meter_zeroed", {"zero_n_per_cm": zero, "note": ""}, hours=hours, **about)
    derived.follow_up(None)
    shown = mara.get("/office/shop/meters/").content.decode()
    assert "drifts, +0.6 N/cm in 30 days; check it" in shown
    assert "± 0.5" in shown


def test_today_calls_out_a_jump_until_it_is_read_again(floor: Floor, mara: Client) -> None:
    frame = floor.frame(7)
    floor.fit(frame, hours=400)
    for hours, value in ((399, 23.0), (300, 22.1), (200, 22.0), (100, 21.9), (2, 16.5)):
        floor.check(frame, value, value, hours=hours)
    derived.follow_up(None)
    assert "Tension jumped" in mara.get("/office/").content.decode()
    floor.check(frame, 21.9, 21.9, hours=1)
    derived.follow_up(None)
    assert "Tension jumped" not in mara.get("/office/").content.decode()


def test_frames_sort_and_filter_by_every_condition(floor: Floor, mara: Client) -> None:
    fresh = floor.frame(8)
    floor.fit(fresh, hours=1)
    floor.check(fresh, 22.5, hours=0.5)
    leaving = floor.frame(9)
    floor.fit(leaving, hours=400)
    for hours, value in ((399, 20.6), (200, 20.3), (100, 20.2), (50, 20.2), (5, 20.5)):
        floor.check(leaving, value, hours=hours)
    derived.follow_up(None)
    listed = mara.get("/office/frames/?sort=condition").content.decode()
    assert listed.index("F0009") < listed.index("F0008")
    assert "F0008" not in mara.get("/office/frames/?condition=due").content.decode()
    assert "F0009" in mara.get("/office/frames/?condition=due").content.decode()
