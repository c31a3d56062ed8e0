"""What the phone says of the frame in hand: another screen, a torn mesh, a short screen's keys."""

import re
from typing import Any

from playwright.sync_api import expect

from tests.browser.chromium import PHONE
from tests.browser.hand import Operator
from tests.browser.small_shop import entries_of

Ids = dict[str, Any]
SMALL = {"width": 320, "height": 568}

SECOND_COLOUR = """
from frames import things
from frames.models import Job, Mesh
job, mesh = Job.objects.get(), Mesh.objects.get()
things.create("colour", {"job": str(job.pk), "position": 2, "name": "Leaf green",
                         "ink": "green", "mesh": str(mesh.pk)}, "tests")
"""


def fill_form(operator: Operator, code: str, kind: str, *choices: str) -> None:
    operator.open(f"/f/{code}#form/{kind}")
    for choice in choices:
        operator.tap(operator.page.get_by_role("button", name=re.compile(choice)).first)
    operator.tap("Save")
    operator.at_card(code)


def test_a_tweak_of_another_screen_warns_and_names_its_own_colour(
    operator: Operator, ids: Ids
) -> None:
    operator.server.python(SECOND_COLOUR)
    operator.open("/#outbox")
    operator.settle_context()
    fill_form(operator, ids["code"], "exposed", "2611", "Leaf green")
    page = operator.page
    expect(page.locator(".state.bad")).to_contain_text("exposed for 2611 Cafe boards, Leaf green")
    expect(page.locator(".foot .go")).to_have_count(0)
    operator.tap("Register")
    expect(page.locator(".state.bad")).to_contain_text("Another screen?")
    operator.open(f"/f/{ids['code']}")
    operator.tap("Tweak")
    expect(page.locator(".state.bad")).to_contain_text("set to 2611 · Key black")
    expect(page.locator(".form-head")).to_contain_text("2611 · Leaf green")
    operator.tap(page.locator("[data-bolt=C5]"))
    operator.tap("Save")
    operator.saw_saved("Tweak of")
    operator.wait_all_sent()
    exposed, tweak = entries_of(operator.server)
    assert tweak["payload"]["colour"] == exposed["payload"]["colour"] != ids["colour"]
    operator.open("/#shift")
    expect(page.locator(".lines").first).to_contain_text(
        "C5 +1 flat · 2611 Cafe boards, Leaf green"
    )


def test_a_torn_mesh_is_not_called_no_mesh(operator: Operator, ids: Ids) -> None:
    operator.settle_context()
    fill_form(operator, ids["code"], "burst", "Middle")
    page = operator.page
    expect(page.locator(".caution")).to_contain_text("Isolate before reaching in")
    for name in ("plan/tension", "register"):
        operator.open(f"/f/{ids['code']}#{name}")
        page.reload()
        expect(page.locator("main")).to_contain_text("The mesh burst: take it off.")
        expect(page.locator(".caution")).to_contain_text("Isolate before reaching in")
    operator.tap("Mesh removed")
    expect(page.locator(".caution")).to_contain_text("Isolate before reaching in")


def test_a_frame_that_needs_no_turn_is_spared_the_list_of_cautions(
    operator: Operator, ids: Ids
) -> None:
    operator.settle_context()
    operator.open(f"/f/{ids['code']}#plan/even_up")
    expect(operator.page.locator(".said")).to_be_visible()
    expect(operator.page.locator(".plan-beside")).to_have_count(0)


def test_on_a_short_screen_every_key_and_save_are_in_sight(operator: Operator, ids: Ids) -> None:
    operator.settle_context()
    page = operator.page
    operator.open(f"/f/{ids['code']}#check")
    operator.set_check("Five spots", "Meter 2")
    page.set_viewport_size(SMALL)
    page.reload()
    save = page.get_by_role("button", name=re.compile(r"^Save \d"))
    for reading in ["20½", "21"] * 5:
        operator.key_in(reading)
        # Nothing to scroll to, so that both keys and Save are in sight.
        hidden = page.evaluate("document.documentElement.scrollHeight - innerHeight")
        assert hidden <= 0, f"{hidden} px below the screen after {reading}"
        expect(save).to_be_in_viewport(ratio=1)
    # All is read: the frame takes the place of the digits, and the last reading may get its half.
    expect(page.locator(".keypad button")).to_have_count(2)
    assert page.locator("svg.frame-drawing").bounding_box()["width"] > SMALL["width"] / 2
    operator.key_in("½")
    operator.tap(save)
    operator.saw_saved("Check of")
    operator.wait_all_sent()
    [check] = entries_of(operator.server)
    assert sorted(spot["across_a_n_per_cm"] for spot in check["payload"]["spots"])[-1] == 21.5
    page.set_viewport_size(PHONE)
