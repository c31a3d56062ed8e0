"""Entries as a broken or a hostile phone might send them: good ones with something odd put in."""

import copy
import time
from collections.abc import Callable
from typing import Any

from hypothesis import strategies as st

from frames.entries import KINDS
from tests.api.entries import nested
from tests.log.making import Maker
from tests.pages.floor import Floor

Raw = dict[str, Any]
ABOUT_A_SCREEN = sorted(set(KINDS) - {"mesh_fitted", "meter_zeroed", "correction", "void"})
# names that pages look at, whatever kind they stand in
NAMES = sorted({name for kind in KINDS.values() for name in kind.model_fields})
ENVELOPE = ("kind", "v", "operator", "frame", "screen", "subject", "scanned", "app", "device_seq")
CUT_EMOJI = "cut \ud83d"
LEAVES = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(2**60), 2**60),
    st.sampled_from([1e308, 5e-324, 1.5, 10**32 + 1, 10**400]),
    st.text(max_size=8),
    st.sampled_from([CUT_EMOJI, "\x00", "=1+1", "{0}", "{x!r}", "<b>", "0" * 32, "\u202e"]),
)
VALUES = st.recursive(
    LEAVES,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(NAMES), inner),
    max_leaves=6,
)
ODD = VALUES | st.sampled_from([10, 62, 64, 200, 500]).map(nested)


def shop(floor: Floor, frame: str, screen: str) -> Maker:
    """A maker that names what is in the book, now."""
    maker = Maker(7)
    maker.now_ms = time.time_ns() // 1_000_000 - 3_600_000
    named = ("mesh", "press", "meter", "operator", "job", "colour")
    maker.book = {kind: [str(getattr(floor, kind).pk)] for kind in named}
    maker.frames[0].id, maker.frames[0].screen = frame, screen
    return maker


@st.composite
def entries(draw: Callable, maker: Maker) -> list[Raw]:
    """Some entries, some of which correct or void others, each with something odd about it."""
    made: list[Raw] = []
    for _ in range(draw(st.integers(4, 14))):
        made.append(draw(st.sampled_from(ODDITIES))(draw, draw_good(draw, maker, made)))
    return made


def draw_good(draw: Callable, maker: Maker, made: list[Raw]) -> Raw:
    maker.now_ms += 1000
    frame = maker.frames[0]
    earlier = [one for one in made if _can_be_named(one)] or frame.entries
    how = draw(st.sampled_from(["on", "on", "on", "zeroed", "void", "correct"]))
    if how == "zeroed":
        return maker.zeroed()
    if how == "on" or not earlier:
        return copy.deepcopy(maker.on(frame, draw(st.sampled_from(ABOUT_A_SCREEN))))
    target = draw(st.sampled_from(earlier))
    return copy.deepcopy(maker.void(target) if how == "void" else maker.correct(target))


def _can_be_named(one: Any) -> bool:
    return {"id", "frame", "screen", "occurred_at", "payload"} <= one.keys()


def as_it_is(draw: Callable, raw: Raw) -> Raw:
    return raw


def more(draw: Callable, raw: Raw) -> Raw:
    """A newer app's fields beside those known here; an entry with them is stored."""
    raw["payload"] |= draw(st.dictionaries(st.sampled_from(NAMES), ODD, min_size=1, max_size=3))
    return raw


def beside(draw: Callable, raw: Raw) -> Raw:
    known = KINDS[raw["kind"]].model_fields
    return more(draw, raw) | {"payload": raw["payload"] | {k: raw["payload"].get(k) for k in known}}


def newer(draw: Callable, raw: Raw) -> Raw:
    """Of a version or kind that is not known here, with anything in it."""
    raw["payload"] = draw(st.dictionaries(st.sampled_from(NAMES), ODD, max_size=4))
    if draw(st.booleans()):
        return raw | {"v": draw(st.integers(2, 9))}
    return raw | {"kind": draw(st.sampled_from(["hologram", "Void", "{0}", "a" * 40, "<i>"]))}


def wrong(draw: Callable, raw: Raw) -> Raw:
    """Something in the envelope is of another type."""
    return raw | {draw(st.sampled_from(ENVELOPE)): draw(ODD)}


def hollow(draw: Callable, raw: Raw) -> Raw:
    return raw | {"payload": draw(ODD)}


def short(draw: Callable, raw: Raw) -> Raw:
    raw["payload"].pop(draw(st.sampled_from(sorted(raw["payload"]))))
    return raw


ODDITIES = [as_it_is, more, beside, newer, newer, wrong, hollow, short]
