"""The paper card as it comes out of a printer: true size, whole, readable, right way round."""

from dataclasses import replace
from itertools import combinations, pairwise

import cv2
import numpy as np
import pypdfium2 as pdfium
import pytest
import zxingcpp
from django.utils import translation

from frames.wording import say
from shopfloor.labels.card import (
    A5,
    CAUTIONS,
    FIRST_OF_ALL,
    MARGIN,
    Card,
    CheckLine,
    TweakLine,
    card_pdf,
)
from shopfloor.labels.card_view import Shown
from shopfloor.labels.symbol import address
from tests.labels.printed import ORIGIN, Frame, Printed, frames
from tests.labels.test_read_back import by_opencv

DPI = 200
FACTS = [("Inside A × B", "800 × 1000 mm"), ("Lock", "twin rod, 6 mm"), ("Mesh", "77-48 polyester")]
CHECK = CheckLine("25 Nov 2026, 09:12", "coated", "21", "22.4", "21.8", "1.4", "5")
TWEAK = TweakLine("24 Nov 2026, 14:02", "A1 +2 flats; B3 −1 flat", "one corner", "in register")
CAPTION = ("Squeegee side up, side A near you. Large dot: punch mark at A1.", "Readings of today.")
PLAIN = Card(
    frame=frames(1, 417, "K417")[0],
    printed="25 Nov 2026, 11:30",
    facts=FACTS,
    condition="Holding. All spots read within 22 ± 1.5 N/cm.",
    shown=Shown([(0.5, 0.5, "21½"), (0.2, 0.2, "22.3")], {"A1": "+2"}, {"C4": "seized"}),
    caption=CAPTION,
    turned_in="A1 +2 flats",
    checks=[CHECK],
    tweaks=[TWEAK],
)


def shaped(a_mm: float, b_mm: float, per_side: int, name: str = "") -> Frame:
    places = {
        side: [(at + 0.5) * long / per_side for at in range(per_side)]
        for side, long in zip("ABCD", (a_mm, b_mm, a_mm, b_mm), strict=True)
    }
    return Frame("F0417-N", name, a_mm, b_mm, places)


def crowded(frame: Frame) -> Card:
    """Everything at its longest."""
    turned = {f"{side}{n + 1}": "−11/48" for side in "ABCD" for n in range(len(frame.bolts[side]))}
    return replace(
        PLAIN,
        frame=frame,
        facts=[("Impressions", "a very long value that goes on and on and on")] * 14,
        condition="Low. " + "The lowest spot reads far too little for what is wanted here. " * 4,
        shown=replace(PLAIN.shown, turned=turned),
        caption=["Squeegee side up " * 12, "readings " * 40],
        turned_in=", ".join(turned) + " −11/48 turn",
        checks=[CHECK] * 30,
        tweaks=[replace(TWEAK, bolts="A1 +2 flats; " * 12)] * 30,
    )


CARDS = {
    "plain": PLAIN,
    "bare frame": replace(
        PLAIN, shown=Shown(), checks=(), tweaks=(), turned_in="", facts=FACTS[:1]
    ),
    "wide": crowded(shaped(1600, 1000, 16, "Рама 3, größer than any other frame of the shop")),
    "tall": crowded(shaped(500, 1500, 16, "x" * 40)),
    "banner": crowded(shaped(6000, 600, 30)),
    "one bolt": replace(PLAIN, frame=shaped(300, 300, 1)),
}
every_card = pytest.mark.parametrize("card", CARDS.values(), ids=CARDS)


def words_of(card: Card, page: int) -> str:
    text = pdfium.PdfDocument(card_pdf([card], ORIGIN))[page].get_textpage().get_text_range()
    return " ".join(text.split())


@every_card
def test_it_is_a5_on_both_sides(card: Card) -> None:
    printed = Printed(card_pdf([card, card], ORIGIN), 72)
    assert printed.pages == 4
    # ISO 216:2007, A5 = 148 × 210 mm
    for page in range(4):
        assert printed.size_mm(page) == pytest.approx((148, 210), abs=0.02)


@every_card
@pytest.mark.parametrize("page", [0, 1])
def test_nothing_lies_outside_the_margins(card: Card, page: int) -> None:
    dark = Printed(card_pdf([card], ORIGIN), DPI).page(page) < 200
    rim = round((MARGIN - 0.4) * DPI / 25.4)
    dark[rim:-rim, rim:-rim] = False
    rows, columns = np.nonzero(dark)
    assert not len(rows), (rows.min(), columns.min(), rows.max(), columns.max())


@every_card
def test_the_symbol_is_read_by_both_decoders(card: Card) -> None:
    page = Printed(card_pdf([card], ORIGIN), 150).page()
    says = address(card.frame.code, ORIGIN)
    assert [found.text for found in zxingcpp.read_barcodes(page)] == [says]
    wide = round(45 * 150 / 25.4)
    assert by_opencv(np.ascontiguousarray(page[:wide, -wide:])) == [says]


@every_card
def test_every_bolt_and_every_caution_stands_in_front(card: Card) -> None:
    said = words_of(card, 0)
    for side, at in card.frame.bolts.items():
        wanted = {f"{side}{n}" for n in range(1, len(at) + 1)}
        if len(at) > 12:  # too close for each to have a number: first and last always have
            wanted = {f"{side}1", f"{side}{len(at)}"}
        assert wanted <= set(said.split())
    for when, what in CAUTIONS:
        assert f"{when} {what}" in said
    assert FIRST_OF_ALL in said


def overlaps(card: Card, page: int) -> list[tuple[str, str]]:
    """Words that lie on others, by more than the space that a letter keeps round itself."""
    text = pdfium.PdfDocument(card_pdf([card], ORIGIN))[page].get_textpage()
    rects = [text.get_rect(index) for index in range(text.count_rects())]
    return [
        (text.get_text_bounded(*one), text.get_text_bounded(*other))
        for one, other in combinations(rects, 2)
        if min(one[2], other[2]) - max(one[0], other[0]) > 0.5
        and min(one[3], other[3]) - max(one[1], other[1]) > 0.5
    ]


@every_card
@pytest.mark.parametrize("language", ["en", "de"])
def test_no_words_are_cut_or_lie_on_others_in_any_language(card: Card, language: str) -> None:
    with translation.override(language):
        said = words_of(card, 0)
        for when, what in CAUTIONS:
            assert say(when) in said
            assert set(say(what).split()) <= set(said.split())
        assert set(say(FIRST_OF_ALL).split()) <= set(said.split())
        assert [overlaps(card, page) for page in (0, 1)] == [[], []]


def test_what_is_known_is_printed() -> None:
    front, back = words_of(PLAIN, 0), words_of(PLAIN, 1)
    for words in (
        "F0417-N",
        "engraved K417",
        "Holding. All spots read within 22 ± 1.5 N/cm.",
        "Still in for register A1 +2 flats",
        "21½",
        "22.3",
        "+2",
        "×",
        "As of 25 Nov 2026, 11:30",
        *CAPTION,
        *(f"{label} {value}" for label, value in FACTS),
    ):
        assert words in front, words
    assert "25 Nov 2026, 09:12 coated 5 21 22.4 21.8 1.4" in back
    assert "24 Nov 2026, 14:02 A1 +2 flats; B3 −1 flat one corner in register" in back
    assert "No phone? Write here." in back


def test_a_frame_without_checks_and_tweaks_says_so() -> None:
    assert words_of(CARDS["bare frame"], 1).count("none yet") == 2
    assert "Still in for register" not in words_of(CARDS["bare frame"], 0)


def test_letters_of_other_alphabets_are_printed() -> None:
    assert "Рама 3, größer" in words_of(CARDS["wide"], 0)


UNMARKED = CARDS["bare frame"]


def places(card: Card) -> dict[str, tuple[float, float]]:
    """Where each bolt's name stands on the page, in points from the lower left corner."""
    text = pdfium.PdfDocument(card_pdf([card], ORIGIN))[0].get_textpage()
    found = {}
    for index in range(text.count_rects()):
        left, foot, right, top = text.get_rect(index)
        for word in text.get_text_bounded(left, foot, right, top).split():
            found.setdefault(word, ((left + right) / 2, (foot + top) / 2))
    return found


def test_bolts_are_numbered_round_anticlockwise_from_a1() -> None:
    """Seen from the squeegee side with A near: A to the right, B away, C to the left, D nearer."""
    at = places(UNMARKED)
    for side, axis, sign in (("A", 0, 1), ("B", 1, 1), ("C", 0, -1), ("D", 1, -1)):
        names = [f"{side}{n}" for n in range(1, len(PLAIN.frame.bolts[side]) + 1)]
        for before, after in pairwise(names):
            assert sign * (at[after][axis] - at[before][axis]) > 0
    assert at["A1"][1] < at["D7"][1] < at["D1"][1] < at["C1"][1]
    assert at["D1"][0] < at["A1"][0] < at["A6"][0] < at["B1"][0]


def test_the_punch_mark_is_the_one_large_dot_beside_a1() -> None:
    page = Printed(card_pdf([UNMARKED], ORIGIN), DPI).page()
    px = DPI / 25.4
    dark = (page < 100).astype(np.uint8)
    dark[: round(45 * px)] = 0
    solid = cv2.erode(dark, np.ones((round(2 * px), round(2 * px)), np.uint8))
    count, _, _, centres = cv2.connectedComponentsWithStats(solid)
    assert count == 2
    a1 = places(UNMARKED)["A1"]
    x, y = centres[1] / px
    assert x == pytest.approx(a1[0] / 72 * 25.4, abs=0.6)
    assert 0 < (A5[1] - a1[1] / 72 * 25.4) - y < 9


def test_there_is_room_for_a_pen_on_the_fullest_card() -> None:
    """Rows at least 7 mm high to write in: ruled paper has 7 to 8 mm (common practice)."""
    for card in CARDS.values():
        page = Printed(card_pdf([card], ORIGIN), DPI).page(1)
        px = DPI / 25.4
        column = page[:, round((MARGIN + 37) * px)] < 215
        lines = np.flatnonzero(column[1:] & ~column[:-1]) / px
        blank = [b - a for a, b in pairwise(lines) if 7 <= b - a <= 12]
        assert len(blank) >= 10
