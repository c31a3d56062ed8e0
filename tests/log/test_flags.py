"""What is odd about an entry is marked, never refused."""

from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

import pytest

from frames import flags, log, things
from frames.models import Entry
from frames.times import moment, utc_text
from tests.log.making import DAY_MS, MINUTE_MS, START_MS, Maker
from tests.log.shop import frame_values

pytestmark = pytest.mark.django_db
NOW = moment(START_MS + DAY_MS)
Raw = dict[str, Any]
Case = Callable[[Maker], Raw]


@pytest.fixture
def maker() -> Maker:
    """A shop whose book knows the maker's first frame and operator."""
    made = Maker(2)
    things.create("shop", {"name": "Test shop", "prefix": "F"}, "test", at=NOW)
    frame = things.create("frame", frame_values(), "test", at=NOW)
    operator = things.create("operator", {"name": "Ilka"}, "test", at=NOW)
    made.frames[0].id, made.book["operator"] = str(frame.id), [str(operator.id)]
    return made


def push(*raws: Raw, received_at: datetime = NOW) -> list[list[str]]:
    return [
        receipt.flags for receipt in log.append(raws, device="phone:1", received_at=received_at)
    ]


def usual(maker: Maker) -> Raw:
    return maker.fit(maker.frames[0]) | {"operator": maker.one("operator")}


ODD: dict[str, Case] = {
    "unknown_kind": lambda m: usual(m) | {"kind": "foreseen"},
    "newer_version": lambda m: usual(m) | {"v": 2},
    "unknown_frame": lambda m: usual(m) | {"frame": m.new_id()},
    "unknown_operator": lambda m: usual(m) | {"operator": m.new_id()},
    "unknown_target": lambda m: m.void(m.fit(m.frames[0])),
    "number_leapt": lambda m: usual(m) | {"device_seq": 2**53 - 1},
    "clock_unset": lambda m: usual(m) | {"clock_offset_age_ms": None},
    "clock_far": lambda m: (
        usual(m)
        | {"clock_offset_ms": 6 * MINUTE_MS, "occurred_at": utc_text(START_MS - 6 * MINUTE_MS)}
    ),
    "ahead": lambda m: usual(m) | {"occurred_at": utc_text(START_MS + DAY_MS + 3 * MINUTE_MS)},
}


def test_a_usual_entry_has_none(maker: Maker) -> None:
    assert push(usual(maker)) == [[]]
    assert not Entry.objects.flagged().exists()


@pytest.mark.parametrize("flag", ODD)
def test_each_oddity_is_marked(maker: Maker, flag: str) -> None:
    assert push(ODD[flag](maker)) == [[flag]]
    assert Entry.objects.flagged().get().flags == [flag]


def without_leave(*raws: Raw) -> list[list[str]]:
    """Sent by a phone that is not set up for turning bolts with a stencil on."""
    receipts = log.append(raws, device="phone:1", received_at=NOW, may_turn_with_stencil=False)
    return [receipt.flags for receipt in receipts]


def on_screen(maker: Maker, *kinds: str) -> list[Raw]:
    frame, operator = maker.frames[0], {"operator": maker.one("operator")}
    made = [maker.fit(frame, **operator)]
    for place, kind in enumerate(kinds, 1):
        raw = maker.on(frame, kind) | operator
        if "bolts" in raw["payload"]:
            raw["payload"]["bolts"] = [{"bolt": "A1", "turn_48ths": 8}]
        made.append(raw | {"occurred_at": utc_text(maker.now_ms + place * MINUTE_MS)})
    return [raw | {"clock_offset_ms": 0} for raw in made]


STENCIL_LIFE = ("bolt_turns", "coated", "register_tweak", "exposed", "nipped_up", "reclaimed")


def test_turns_with_a_stencil_on_are_marked_where_nobody_may(maker: Maker) -> None:
    raws = on_screen(maker, *STENCIL_LIFE, "bolt_turns")
    marked = [[], [], [], ["stencil_on"], [], ["stencil_on"], [], []]
    assert without_leave(*raws) == marked
    assert Entry.objects.count() == len(raws)


def test_a_stencil_that_an_earlier_push_told_of_counts(maker: Maker) -> None:
    *before, turned = on_screen(maker, "coated", "bolt_turns")
    push(*before)
    assert without_leave(turned) == [["stencil_on"]]


def test_a_phone_or_a_person_set_up_for_it_is_not_marked(maker: Maker) -> None:
    raws = on_screen(maker, *STENCIL_LIFE)
    assert push(*raws) == [[]] * len(raws)
    things.change(
        "operator", maker.one("operator"), {"may_turn_with_stencil": True}, 1, "test", at=NOW
    )
    other = on_screen(maker, *STENCIL_LIFE)
    assert without_leave(*other) == [[]] * len(other)


def test_a_retired_frame_is_marked(maker: Maker) -> None:
    things.retire("frame", maker.frames[0].id, 1, "test", at=NOW)
    assert push(usual(maker)) == [["retired_frame"]]


def test_a_number_used_twice_is_marked_on_the_second(maker: Maker) -> None:
    """As when the storage of a phone was copied to another."""
    first = usual(maker)
    twin = first | {"id": maker.new_id()}
    twin["screen"] = twin["id"]
    assert push(first, twin) == [[], ["number_reused"]]
    third = twin | {"id": maker.new_id(), "kind": "note", "payload": {"note": ""}}
    assert push(third) == [["number_reused"]]


def test_acts_on_acts_are_marked_as_without_effect(maker: Maker) -> None:
    fitted = usual(maker)
    void = maker.void(fitted)
    correction = maker.correct(fitted)
    push(fitted, void, correction)
    assert push(maker.void(correction)) == [[]]
    assert push(maker.void(void)) == [["no_effect"]]
    assert push(maker.correct(correction)) == [["no_effect"]]


def test_a_setting_made_without_seeing_a_newer_one_is_marked(maker: Maker) -> None:
    frame, (one, two) = maker.frames[0], maker.phones
    fitted = usual(maker)
    push(fitted)

    def setting(phone: Any, base_seq: int) -> Raw:
        payload = {"target_n_per_cm": 20, "tolerance_n_per_cm": 1}
        here = {"frame": frame.id, "screen": frame.screen}
        return maker.entry("target_set", payload, phone=phone, base_seq=base_seq, **here)

    assert push(setting(one, 10)) == [[]]
    seen = Entry.objects.get(kind="target_set").seq
    assert push(setting(two, seen)) == [[]]
    assert push(setting(two, seen - 1)) == [["unseeing"]]
    assert push(setting(one, 10**6)) == [[]]


def test_a_clock_a_day_ahead_is_no_reason_to_refuse(maker: Maker) -> None:
    ahead = usual(maker) | {"occurred_at": utc_text(START_MS + 30 * DAY_MS)}
    (receipt,) = log.append([ahead], device="phone:1", received_at=NOW)
    assert receipt.status == "stored"


def test_every_flag_has_words() -> None:
    assert set(ODD) <= set(flags.MEANINGS)
    assert all(words.endswith(".") for words in flags.MEANINGS.values())
    assert NOW.tzinfo is UTC
