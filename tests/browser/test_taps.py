"""Few taps: counted from the scan to the saved tick, with everything remembered."""

from tests.browser.hand import Operator
from tests.browser.small_shop import entries_of


def test_a_tweak_takes_at_most_nine_taps_from_scan_to_saved(
    operator: Operator, ids: dict[str, str]
) -> None:
    operator.settle_context()
    operator.type_code(ids["code"])
    # Two taps stand for finding the frame: Scan on the home page, and holding it still.
    operator.taps = 2
    operator.tweak("A1", "A1", "C3", "C4", seen="One corner")
    assert operator.taps <= 9
    operator.wait_all_sent()
    [entry] = entries_of(operator.server)
    assert entry["payload"]["seen"] == "one_corner"
    assert {one["bolt"]: one["turn_48ths"] for one in entry["payload"]["bolts"]} == {
        "A1": 16,
        "C3": 8,
        "C4": 8,
    }
    assert entry["payload"]["press"] == ids["press"]
    assert entry["payload"]["station"] == 2
    assert entry["payload"]["colour"] == ids["colour"]
    assert entry["operator"] == ids["operator"]


def test_a_five_spot_check_with_ten_readings_takes_at_most_45_taps(
    operator: Operator, ids: dict[str, str]
) -> None:
    operator.settle_context()
    operator.type_code(ids["code"])
    operator.tap("Check")
    operator.set_check("Five spots", "Meter 2")
    operator.tap("Back")
    operator.at_card(ids["code"])
    operator.taps = 2
    readings = ["20½", "21", "19½", "20", "20½", "21", "19", "20½", "20", "21½"]
    operator.check(*readings)
    assert operator.taps <= 45
    operator.wait_all_sent()
    [entry] = entries_of(operator.server)
    spots = entry["payload"]["spots"]
    assert [(one["along_a_n_per_cm"], one["across_a_n_per_cm"]) for one in spots] == [
        (20.5, 21),
        (19.5, 20),
        (20.5, 21),
        (19, 20.5),
        (20, 21.5),
    ]
    assert entry["payload"]["meter"] == ids["meter"]
