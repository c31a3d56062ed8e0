"""Data never turn: one physical corner, however the frame lies before the reader."""

import re

import pytest

from tests.browser.hand import Operator
from tests.browser.small_shop import entries_of

# How each corner of the frame is named by a reader, written down from a frame on a table: the
# squeegee side up with A near shows A's corners as they count, left to right; turning the frame a
# quarter moves every corner one on; turning it over swaps left and right.
CORNERS = {
    "Squeegee side up, A near you": {"DA": "near left", "AB": "near right", "BC": "far right"},
    "Squeegee side up, B near you": {"DA": "far left", "AB": "near left", "BC": "near right"},
    "Squeegee side up, C near you": {"DA": "far right", "AB": "far left", "BC": "near left"},
    "Squeegee side up, D near you": {"DA": "near right", "AB": "far right", "BC": "far left"},
    "Print side up, A near you": {"DA": "near right", "AB": "near left", "BC": "far left"},
    "Print side up, B near you": {"DA": "far right", "AB": "near right", "BC": "near left"},
    "Print side up, C near you": {"DA": "far left", "AB": "far right", "BC": "near right"},
    "Print side up, D near you": {"DA": "near left", "AB": "far left", "BC": "far right"},
}
# Which of u and v are high there: u grows along A towards B, v away from A towards C.
HIGH = {"DA": (False, False), "AB": (True, False), "BC": (True, True)}


def take_readings(operator: Operator, slack: str) -> None:
    """14 both ways at the slack corner, 20 everywhere else, as the drawing asks spot by spot."""
    for _ in range(10):
        named = operator.page.locator(".reading-now b").inner_text()
        operator.key_in("14" if named == slack else "20")


def lies_of(face: str) -> list[str]:
    return [lie for lie in CORNERS if lie.startswith(face)]


@pytest.mark.parametrize("face", ["Squeegee", "Print"])
def test_a_slack_corner_is_the_same_corner_from_every_side(
    operator: Operator, ids: dict[str, str], face: str
) -> None:
    """Each corner but one is the slack one in turn, so no symmetry can hide a swap."""
    operator.settle_context()
    operator.type_code(ids["code"])
    asked = list(zip(lies_of(face), ["AB", "DA", "BC", "AB"], strict=True))
    for lie, corner in asked:
        operator.tap("Check")
        operator.set_check("Five spots", lie=lie)
        take_readings(operator, CORNERS[lie][corner])
        operator.tap(operator.page.get_by_role("button", name=re.compile(r"^Save \d")))
        operator.at_card(ids["code"])
    operator.wait_all_sent()
    entries = entries_of(operator.server)
    assert len(entries) == len(asked)
    for entry, (lie, corner) in zip(entries, asked, strict=True):
        payload = entry["payload"]
        slack = [spot for spot in payload["spots"] if spot["along_a_n_per_cm"] == 14]
        assert [(spot["u"] > 0.5, spot["v"] > 0.5) for spot in slack] == [HIGH[corner]], lie
        assert len(payload["spots"]) == 5
        assert f"{payload['face'].title()} side up, {payload['near']} near you" == lie


@pytest.mark.parametrize("face", ["Squeegee", "Print"])
def test_the_bolts_at_a_corner_are_the_same_bolts_from_every_side(
    operator: Operator, ids: dict[str, str], face: str
) -> None:
    """The corner of D and A lies between A1 and D4: found by their places on the screen."""
    # Wide enough that no side folds into a strip.
    operator.page.set_viewport_size({"width": 700, "height": 1000})
    operator.settle_context()
    operator.type_code(ids["code"])
    for lie in lies_of(face):
        operator.tap("Tweak")
        operator.lay(lie)
        assert beside(operator, CORNERS[lie]["DA"]) == {"A1", "D4"}, lie
        operator.tap(operator.page.locator("[data-bolt=A1]"))
        operator.tap("Save")
        operator.at_card(ids["code"])
    operator.wait_all_sent()
    turned = [entry["payload"]["bolts"] for entry in entries_of(operator.server)]
    assert turned == [[{"bolt": "A1", "turn_48ths": 8}]] * 4


def beside(operator: Operator, corner: str) -> set[str]:
    """Names of the two bolts drawn next to a corner, one on each side that meets there."""
    near_or_far, left_or_right = corner.split()
    bolts = operator.page.evaluate("""() => [...document.querySelectorAll("[data-bolt]")]
      .map((one) => ({ name: one.dataset.bolt, box: one.getBoundingClientRect() }))
      .map(({ name, box }) => ({ name, x: box.x + box.width / 2, y: box.y + box.height / 2 }))""")
    edges = {
        "left": min(one["x"] for one in bolts),
        "right": max(one["x"] for one in bolts),
        "far": min(one["y"] for one in bolts),
        "near": max(one["y"] for one in bolts),
    }
    x, y = edges[left_or_right], edges[near_or_far]
    column = [one for one in bolts if abs(one["x"] - x) < 2]
    row = [one for one in bolts if abs(one["y"] - y) < 2]
    return {
        min(column, key=lambda one: abs(one["y"] - y))["name"],
        min(row, key=lambda one: abs(one["x"] - x))["name"],
    }
