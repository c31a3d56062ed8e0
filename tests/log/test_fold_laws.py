"""Laws of folding that hold whatever was logged, in whatever order it arrives."""

import copy
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from frames.entries import ACTS, is_act, is_known
from frames.folding import effective, empty, fold, order_key, run, step
from frames.times import milliseconds, utc_text
from tests.log import payloads
from tests.log.making import DAY_MS, Maker
from tests.log.strategies import Raw, logs

Log = tuple[Maker, list[Raw]]
LATER_MS = 40 * DAY_MS


def plain(entries: list[Raw]) -> list[Raw]:
    return [entry for entry in entries if is_known(entry) and not is_act(entry)]


@pytest.mark.promise(6)
@given(logs(), st.randoms(use_true_random=False))
def test_order_of_arrival_does_not_matter(log: Log, random: Random) -> None:
    _, entries = log
    shuffled = random.sample(entries, len(entries))
    assert fold(shuffled) == fold(entries)


@given(logs(), st.randoms(use_true_random=False))
def test_arriving_twice_does_not_matter(log: Log, random: Random) -> None:
    _, entries = log
    again = random.choices(entries, k=len(entries))
    assert fold([*entries, *again]) == fold(entries)


@given(logs(), st.integers(0, 30))
def test_folding_part_and_stepping_on_is_folding_all(log: Log, cut: int) -> None:
    entries = effective(log[1])
    state = run(entries[:cut])
    for entry in entries[cut:]:
        state = step(state, entry)
    assert state == run(entries)


@given(logs())
def test_a_step_leaves_the_state_before_it_alone(log: Log) -> None:
    state = empty()
    for entry in effective(log[1]):
        kept = copy.deepcopy(state)
        after = step(state, entry)
        assert state == kept
        state = after


@given(logs(), st.data())
def test_a_void_entry_is_as_if_never_logged(log: Log, data: st.DataObject) -> None:
    maker, entries = log
    maker.now_ms += LATER_MS
    entry = data.draw(st.sampled_from(plain(entries)))
    without = [other for other in entries if other["id"] != entry["id"]]
    assert fold([*entries, maker.void(entry)]) == fold(without)


@given(logs(), st.data())
def test_the_last_correction_stands_in_for_the_entry(log: Log, data: st.DataObject) -> None:
    maker, entries = log
    maker.now_ms += LATER_MS
    entry = data.draw(st.sampled_from(plain(entries)))
    payload = payloads.another(maker, entry["kind"])
    then = utc_text(milliseconds(entry["occurred_at"]) + data.draw(st.integers(-DAY_MS, DAY_MS)))
    correction = maker.correct(entry, payload=payload, occurred_at=then)
    replaced = entry | {"payload": payload, "occurred_at": then}
    rest = [
        other
        for other in entries
        if other["id"] != entry["id"]
        and not (is_act(other) and other["payload"][ACTS[other["kind"]]] == entry["id"])
    ]
    assert fold([*entries, correction]) == fold([*rest, replaced])


@given(logs(), st.data())
def test_voiding_a_correction_takes_it_back(log: Log, data: st.DataObject) -> None:
    maker, entries = log
    maker.now_ms += LATER_MS
    entry = data.draw(st.sampled_from(plain(entries)))
    correction = maker.correct(entry, occurred_at=utc_text(maker.now_ms))
    assert fold([*entries, correction, maker.void(correction)]) == fold(entries)


@given(logs(), st.data())
def test_a_void_stays(log: Log, data: st.DataObject) -> None:
    maker, entries = log
    maker.now_ms += LATER_MS
    void = maker.void(data.draw(st.sampled_from(plain(entries))))
    against = [maker.void(void), maker.correct(void, payload={})]
    assert fold([*entries, void, *against]) == fold([*entries, void])


@given(logs(), st.integers(-DAY_MS, DAY_MS))
def test_a_wrong_clock_that_is_known_changes_nothing(log: Log, wrong_ms: int) -> None:
    _, entries = log
    shifted = [
        entry
        | {
            "occurred_at": utc_text(milliseconds(entry["occurred_at"]) - wrong_ms),
            "clock_offset_ms": entry["clock_offset_ms"] + wrong_ms,
        }
        for entry in plain(entries)
    ]
    assert fold(shifted) == fold(plain(entries))


@given(logs())
def test_frames_do_not_disturb_each_other(log: Log) -> None:
    maker, entries = log
    other = Maker(maker.ids.getrandbits(32))
    elsewhere = fold(other.entries(12))
    here = fold(entries)
    together = fold([*entries, *[e for f in other.frames for e in f.entries]])
    for name in ("frames", "screens"):
        assert together[name] == here[name] | elsewhere[name]


@given(logs())
def test_the_order_is_total(log: Log) -> None:
    keys = [order_key(entry) for entry in {e["id"]: e for e in log[1]}.values()]
    assert len(set(keys)) == len(keys)
    assert sorted(keys) == sorted(reversed(keys))
