"""Where a log is cut, what is taken from it, and what is left out."""

from frames.forecast import repeats, segments
from tests.forecast.making import FIVE, check, done, entry, fitted, turns


def test_turns_for_tension_cut_and_turns_for_register_step() -> None:
    cut = segments(
        [
            fitted(),
            turns(2, "stretch"),
            check(3, 22),
            turns(30),
            check(40, 23),
            turns(50, "even_up"),
        ]
    )
    assert [len(s["seen"]) for s in cut] == [0, 1, 1]
    assert [s["retensions"] for s in cut] == [0, 0, 1]
    assert [s["kind"] for s in cut[-1]["steps"]] == ["tweaked"]
    assert cut[1]["seen"][0]["at_h"] == round(10 / 60, 4)


def test_rounds_of_one_afternoon_are_one_retension() -> None:
    cut = segments([fitted(), turns(10), turns(13), turns(80)])
    assert [s["retensions"] for s in cut] == [0, 1, 1, 2]


def test_bolts_that_were_not_turned_cut_nothing() -> None:
    assert len(segments([fitted(), turns(10, turn=0)])) == 1


def test_readings_of_a_wet_mesh_are_left_out() -> None:
    cut = segments([fitted(), done(10, "washed"), check(12, 20), check(14, 21)])
    assert [s["n_per_cm"] for s in cut[0]["seen"]] == [21.0]


def test_a_counter_is_told_in_impressions_added() -> None:
    told = [("counter", 300), ("added", 50), ("counter", 200), ("counter", 700)]
    entries = [
        entry(10 + i, "impressions", {"mode": mode, "count": count})
        for i, (mode, count) in enumerate(told)
    ]
    assert [n for _, n in segments([fitted(), *entries])[0]["printed"]] == [300, 50, 350]


def test_a_new_target_is_the_target_of_the_segment() -> None:
    aim = {"target_n_per_cm": 25.0, "tolerance_n_per_cm": 1.0}
    assert segments([fitted(), entry(9, "target_set", aim)])[0]["target_n_per_cm"] == 25.0


def test_one_spot_that_fell_is_told_from_all_of_them() -> None:
    cut = segments([fitted(), check(10, 22), check(20, 21, drops={3: 3.0})])
    assert cut[0]["seen"][1]["local"] == 2.4
    assert cut[0]["seen"][1]["below"] == 2.4
    assert cut[0]["seen"][0]["local"] == 0.0


def test_other_places_are_marked() -> None:
    cut = segments([fitted(), check(10, 22), check(20, 22, places=FIVE[:1])])
    assert [s["moved_places"] for s in cut[0]["seen"]] == [False, True]


def test_reading_twice_tells_how_well_a_meter_repeats() -> None:
    cut = segments([fitted(), check(20, 22.0), check(22, 22.4), check(40, 21.0)])
    (row,) = repeats(cut)
    assert row["meter"] == "x"
    assert row["freedom"] == 1
    assert row["square"] == round(0.4**2 / 2 * 10, 4)


def test_work_in_between_is_no_repeat() -> None:
    cut = segments([fitted(), check(20, 22.0), done(20, "washed"), check(24, 21.0)])
    assert repeats(cut) == []
