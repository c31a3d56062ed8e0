"""What register cost and how long meshes live, summed from the log."""

from datetime import timedelta
from typing import Any

import pytest
from django.conf import settings
from django.template.loader import render_to_string
from django.test import Client
from django.utils import timezone, translation

from frames import charting, derived, figures, lives
from frames.models import Frame
from shopfloor.office import prices
from tests.pages.floor import Floor

pytestmark = pytest.mark.django_db
VIEW = {"face": "squeegee", "near": "A"}
PAGE = "/office/figures/"


def cost() -> dict[str, Any]:
    now = timezone.now()
    return figures.register_cost(now - timedelta(days=30), now)


def tweak(floor: Floor, frame: Frame, hours: float, **more: Any) -> dict[str, Any]:
    payload = {"seen": "one_corner", "marks": [], "bolts": [], **VIEW} | more
    return floor.tell("register_tweak", payload, frame, hours=hours)


def after(floor: Floor, frame: Frame, of: dict[str, Any], hours: float) -> None:
    payload = {"tweak": of["id"], "marks": [], "verdict": "in_register"}
    floor.tell("after_marks", payload, frame, hours=hours)


def test_minutes_run_to_the_after_marks_else_to_the_next_tweak(floor: Floor) -> None:
    frame = floor.screen(floor.frame(7), 22)
    tweak(floor, frame, 5.0, cause="sheet", press=str(floor.press.pk))
    second = tweak(floor, frame, 4.9, cause="mesh", press=str(floor.press.pk))
    after(floor, frame, second, 4.7)
    tweak(floor, frame, 1.0, cause="mesh")
    found = cost()
    assert (found["tweaks"], found["minutes"], found["open"]) == (3, 18, 1)
    assert [(r["id"], r["tweaks"], r["minutes"]) for r in found["cause"]] == [
        ("mesh", 2, 12),
        ("sheet", 1, 6),
    ]
    assert found["cause"][0]["running"] == pytest.approx(2 / 3, abs=0.01)
    assert found["cause"][1]["running"] == pytest.approx(1.0)
    assert [r["minutes"] for r in found["press"]] == [18]


def test_a_cause_found_later_counts(floor: Floor) -> None:
    frame = floor.screen(floor.frame(7), 22)
    first = tweak(floor, frame, 3, cause="mesh")
    floor.tell("cause_found", {"tweak": first["id"], "cause": "lays"}, frame, hours=1)
    assert [row["id"] for row in cost()["cause"]] == ["lays"]


def test_a_voided_tweak_costs_nothing(floor: Floor) -> None:
    frame = floor.screen(floor.frame(7), 22)
    first = tweak(floor, frame, 3, cause="mesh")
    floor.tell("void", {"voids": first["id"], "reason": "other frame"}, frame, hours=1)
    assert cost()["tweaks"] == 0


def test_spread_of_a_set_stands_beside_its_tweaks(floor: Floor, mara: Client) -> None:
    for number, value in ((7, 22.0), (8, 20.5)):
        frame = floor.screen(floor.frame(number), value)
        floor.expose(frame, hours=1.9)
        tweak(floor, frame, 1, job=str(floor.job.pk))
    derived.follow_up(None)
    (row,) = cost()["sets"]
    assert (row["spread"], row["tweaks"]) == (1.5, 2)
    page = mara.get(PAGE).content.decode()
    assert "2291 Dial plates" in page
    assert "Too few jobs yet" in page


def test_half_of_the_meshes_burst_by_then(floor: Floor, mara: Client) -> None:
    for number, count in ((7, 900), (8, 2300), (9, 5000)):
        frame = floor.frame(number)
        floor.fit(frame, hours=50)
        floor.tell("impressions", {"mode": "counter", "count": count}, frame, hours=3)
        if number < 9:
            floor.tell("burst", {"where": "middle", "impressions": count}, frame, hours=2)
    derived.follow_up(None)
    (row,) = lives.mesh_lives()
    assert (row["fitted"], row["burst"], row["median"]) == (3, 2, 2300)
    assert "2,300" in mara.get(PAGE + "?days=365").content.decode()


def test_a_shop_without_entries_has_a_page_too(floor: Floor, mara: Client) -> None:
    page = mara.get(PAGE + "?days=nonsense").content.decode()
    assert "No tweak in this time." in page
    assert "No mesh was fitted yet." in page


def test_checks_of_a_mesh_share_a_chart(floor: Floor, mara: Client) -> None:
    for number in (7, 8, 9):
        frame = floor.frame(number)
        floor.fit(frame, hours=400)
        for hours, value in ((399, 23.0), (300, 22.1), (200, 22.0), (100, 21.9)):
            floor.check(frame, value, value, hours=hours + number / 10)
    floor.check(frame, 15.0, hours=1)
    derived.follow_up(None)
    (row,) = charting.by_mesh()
    assert row["checks"] == 13
    assert row["low"] < row["centre"] < row["high"]
    assert row["signals"]["one point beyond 3 sigma"] == 1
    assert "one point beyond 3 sigma (1)" in mara.get(PAGE).content.decode()


def test_rows_lead_to_the_things_they_name(mara: Client, floor: Floor) -> None:
    frame = floor.screen(floor.frame(7), 22)
    floor.expose(frame, hours=4)
    job = str(floor.job.pk)
    tweak(floor, frame, 3, cause="mesh", press=str(floor.press.pk), job=job)
    derived.follow_up(None)
    page = mara.get(PAGE).content.decode()
    assert f'<a href="/office/frames/{frame.pk}/">{frame.code}' in page
    assert f'<a href="/office/jobs/{floor.job.pk}/">{floor.job}' in page
    assert f'<a href="/office/shop/presses/{floor.press.pk}/page/">Press 2' in page


def test_german_figures_keep_their_capitals_and_commas(mara: Client, floor: Floor) -> None:
    tweak(floor, floor.screen(floor.frame(7), 22), 3, cause="mesh")
    mara.cookies[settings.LANGUAGE_COOKIE_NAME] = "de"
    page = mara.get(PAGE).content.decode()
    assert "Nach Ursache, die meisten Minuten zuerst" in page
    assert "Nach Rahmen, die meisten Minuten zuerst" in page
    with translation.override("de"):
        told = prices._cheaper({"best": 13.37, "left": 13.39, "age": 15_000})
    assert (
        told == "Ab etwa 15.000 Drucken ist ein neues Gewebe billiger: 13,37 je 1.000 gegen 13,39."
    )


def test_a_life_without_an_upper_end_is_so_many_or_more() -> None:
    row = {"name": "77-48", "fitted": 6, "burst": 5, "median": 5625.4, "low": 2796.6, "high": None}
    more = {"printed": 12345.6, "retensions": 1.0, "reclaims": 0.0, "kept": None}
    page = render_to_string("office/_lives.html", {"lives": [row | more]})
    assert "5,625" in page
    assert "2,797 or more" in page
    assert "12,346" in page
