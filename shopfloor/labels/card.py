"""The paper card of a frame, A5, printed on both sides: the frame for when phones fail.

In front the frame with all that is known of it, behind its last checks and tweaks and
blank rows for a pen.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from frames.wording import mark, say

from .card_view import Shown, card_view
from .paper import FAINT, SOFT, THICK, Paper
from .plan_view import Labelled
from .stocks import Box
from .symbol import address, symbol

A5 = (148.0, 210.0)  # ISO 216
MARGIN = 9.0
INSIDE = A5[0] - 2 * MARGIN
QR_MM = 30.0
SMALL, LEAST = 2.8, 2.1  # em of letters that are read at arm's length, and of any
LINE = 3.6  # from one small line to the next
SPLITS = (0.52, 0.48, 0.56, 0.6, 0.44)  # of the width, where the second column may begin
DESCENT = 0.8  # of letters below the line they stand on
CAUTIONS = (
    (mark("Turning"), mark("Hand spanner. Glasses. Face clear.")),
    (mark("On press"), mark("Stop. Isolate. Lock. Prop. Try start.")),
    (mark("After"), mark("Tools out, guards on, people clear.")),
    (mark("Burst"), mark("Stop. Isolate before reaching in.")),
    (mark("Creak or slip"), mark("Stop turning.")),
    (mark("Stencil on"), mark("Small turns. It may crack.")),
    (mark("Mesh off"), mark("Let off all sides in rounds.")),
    (mark("Lock"), mark("Never free one under load.")),
)
FIRST_OF_ALL = mark("The frame maker's instructions, the shop's rules and local codes come first.")
LAST_CHECKS, LAST_TWEAKS = 5, 4


@dataclass(frozen=True)
class CheckLine:
    """One check: numbers in N/cm as words."""

    when: str
    stencil: str
    low: str
    high: str
    mean: str
    spread: str
    spots: str


@dataclass(frozen=True)
class TweakLine:
    when: str
    bolts: str
    seen: str
    after: str


@dataclass(frozen=True)
class Card:
    """All that a card says, already in words."""

    frame: Labelled
    printed: str
    facts: Sequence[tuple[str, str]]
    condition: str
    shown: Shown
    caption: Sequence[str]
    turned_in: str = ""
    checks: Sequence[CheckLine] = field(default_factory=tuple)
    tweaks: Sequence[TweakLine] = field(default_factory=tuple)


def card_pdf(cards: Sequence[Card], origin: str) -> bytes:
    """Two pages of A5 for each card, front and back."""
    paper = Paper(*A5, title=", ".join(card.frame.code for card in cards[:5]))
    for card in cards:
        paper.page()
        _front(paper, card, origin)
        paper.page()
        _back(paper, card)
    return paper.bytes()


def _front(paper: Paper, card: Card, origin: str) -> None:
    _head(paper, card, origin)
    y = _told(paper, card, MARGIN + QR_MM + 2.0)
    cautions = _cautions(paper, _foot(paper, say("As of {0}", card.printed)))
    caption = [line for said in card.caption for line in paper.lines(said, 2.8, INSIDE, 2)]
    top = cautions - 2.0 - 4.0 * len(caption)
    card_view(paper, Box(MARGIN, y, INSIDE, top - 1.0 - y), card.frame, card.shown)
    for row, line in enumerate(caption):
        paper.text(A5[0] / 2, top + 2.6 + 4.0 * row, line, 2.8, align="middle", grey=SOFT)


def _head(paper: Paper, card: Card, origin: str) -> None:
    made = symbol(address(card.frame.code, origin))
    # the quiet zone may reach into the margin, the symbol itself does not
    quiet = QR_MM * 4 / made.across
    right = A5[0] - MARGIN
    paper.symbol(made, Box(right - QR_MM + quiet, MARGIN - quiet, QR_MM, QR_MM))
    paper.text(MARGIN, MARGIN + 10.6, card.frame.code, 15.5, bold=True)
    room = INSIDE - QR_MM
    y = MARGIN + 17.2
    if card.frame.second_name:
        paper.text(
            MARGIN, y, say("engraved {0}", card.frame.second_name), 5.0, bold=True, room=room
        )
        y += 6.4
    for line in paper.lines(card.condition, 3.9, room, 2):
        paper.text(MARGIN, y, line, 3.9)
        y += 4.7


def _told(paper: Paper, card: Card, y: float) -> float:
    """Facts in two columns; returns where they end."""
    paper.line((MARGIN, y), (A5[0] - MARGIN, y), THICK)
    y += 1.6
    half, pitch, size = INSIDE / 2, 4.7, 3.1
    rows = -(-len(card.facts) // 2)
    for column in (0, 1):
        told = card.facts[column * rows : (column + 1) * rows]
        x, room = MARGIN + column * half, half - 2.0
        indent = min(_widest(paper, [label for label, _ in told], size) + 2.2, room / 2)
        for row, (label, value) in enumerate(told):
            base = y + (row + 0.75) * pitch
            paper.text(x, base, label, size, grey=SOFT, room=indent)
            fits = paper.fitting(value, size, LEAST, room - indent)
            paper.text(x + indent, base, value, fits, room=room - indent)
    y += rows * pitch + 1.2
    if card.turned_in:
        y = _turned_in(paper, card.turned_in, y)
    return y + 1.0


def _turned_in(paper: Paper, words: str, y: float) -> float:
    """Turns that are still in the bars: what the next reader must not overlook."""
    heading = say("Still in for register")
    indent = 4.0 + paper.width(heading, 3.2, bold=True)
    lines = paper.lines(words, 3.2, INSIDE - indent - 2.0, 4)
    tall = 2.6 + 4.2 * len(lines)
    paper.outline(Box(MARGIN, y, INSIDE, tall), 0.3, radius=1.2)
    paper.text(MARGIN + 2.0, y + 4.4, heading, 3.2, bold=True)
    for row, line in enumerate(lines):
        paper.text(MARGIN + indent, y + 4.4 + 4.2 * row, line, 3.2)
    return y + tall


def _foot(paper: Paper, as_of: str) -> float:
    """What comes first of all, and of when the card is; returns where that begins."""
    foot = A5[1] - MARGIN - DESCENT
    paper.text(A5[0] - MARGIN, foot, as_of, SMALL, align="right", grey=SOFT)
    lines = paper.lines(say(FIRST_OF_ALL), SMALL, INSIDE - paper.width(as_of, SMALL) - 3.0, 3)
    for row, line in enumerate(reversed(lines)):
        paper.text(MARGIN, foot - LINE * row, line, SMALL, grey=SOFT)
    return foot - LINE * len(lines)


def _cautions(paper: Paper, foot: float) -> float:
    """Each whole, however long a language tells it; returns where they begin."""
    half, rows, tall = min((_rows(paper, split) for split in SPLITS), key=lambda made: sum(made[2]))
    top = foot - sum(tall) - 2.4
    paper.line((MARGIN, top), (A5[0] - MARGIN, top), THICK)
    base = top + 4.6
    for row, height in zip(rows, tall, strict=True):
        for x, (when, indent, lines) in zip((MARGIN, MARGIN + half), row, strict=True):
            paper.text(x, base, when, SMALL, bold=True)
            for place, line in enumerate(lines):
                paper.text(x + indent, base + LINE * place, line, SMALL)
        base += height
    return top


Caution = tuple[str, float, list[str]]


def _rows(paper: Paper, split: float) -> tuple[float, list[tuple[Caution, ...]], list[float]]:
    """Where the second column begins, the cautions side by side, and how tall each row is."""
    told = [(say(when), say(words)) for when, words in CAUTIONS]
    half, many = INSIDE * split, len(told) // 2
    left = _column(paper, told[:many], half - 3.0)
    right = _column(paper, told[many:], INSIDE - half)
    rows = list(zip(left, right, strict=True))
    tall = [0.7 + LINE * max(len(lines) for _, _, lines in row) for row in rows]
    return half, rows, tall


def _column(paper: Paper, told: Sequence[tuple[str, str]], room: float) -> list[Caution]:
    """When, how far the words stand in beside it, and their lines."""
    indent = _widest(paper, [when for when, _ in told], SMALL, bold=True) + 1.8
    return [(when, indent, paper.lines(what, SMALL, room - indent, 4)) for when, what in told]


def _widest(paper: Paper, words: Iterable[str], size: float, bold: bool = False) -> float:
    return max((paper.width(one, size, bold) for one in words), default=0.0)


CHECKS = (
    (mark("Last checks, N/cm"), 31.0, "left"),
    (mark("Stencil"), 18.0, "left"),
    (mark("Spots"), 13.0, "right"),
    (mark("Low"), 17.0, "right"),
    (mark("High"), 17.0, "right"),
    (mark("Mean"), 17.0, "right"),
    (mark("Spread"), 17.0, "right"),
)
TWEAKS = (
    (mark("Last tweaks"), 31.0, "left"),
    (mark("Bolts"), 52.0, "left"),
    (mark("Seen"), 25.0, "left"),
    (mark("After marks"), 22.0, "left"),
)
PEN_HEAD, PEN_NOTE, LEAST_PITCH = 5.0, 5.4, 7.6
LATER = mark("Later: write it into Tautbook with date and time, cross it out.")
SPOTS = mark(
    "N/cm: over the dashes along A, under them across A. Spots: 1 centre, by the corners 2 D/A, "
    "3 A/B, 4 B/C, 5 C/D."
)
PEN_CHECKS = (
    (mark("Date, time"), 24.0),
    (mark("Who"), 15.0),
    (mark("Stencil"), 16.0),
    ("1", 15.0),
    ("2", 15.0),
    ("3", 15.0),
    ("4", 15.0),
    ("5", 15.0),
)
PEN_TWEAKS = (
    (mark("Date, time"), 24.0),
    (mark("Who"), 15.0),
    (mark("Bolts and turns, + tightens"), 50.0),
    (mark("Seen"), 22.0),
    (mark("After marks"), 19.0),
)


def _said(rows: tuple[tuple, ...]) -> tuple[tuple, ...]:
    """Rows with what stands first in each said."""
    return tuple((say(first), *rest) for first, *rest in rows)


def _back(paper: Paper, card: Card) -> None:
    paper.text(MARGIN, MARGIN + 4.4, card.frame.code, 6.4, bold=True)
    as_of = say("As of {0}", card.printed)
    paper.text(A5[0] - MARGIN, MARGIN + 4.4, as_of, 2.9, align="right", grey=SOFT)
    y = MARGIN + 7.0
    paper.line((MARGIN, y), (A5[0] - MARGIN, y), THICK)
    y = _known(paper, card, y + 0.6)
    _by_hand(paper, y + 4.0)


def _known(paper: Paper, card: Card, y: float) -> float:
    """The last checks and tweaks; returns where they end."""
    rows = [
        (line.when, line.stencil, line.spots, line.low, line.high, line.mean, line.spread)
        for line in card.checks[:LAST_CHECKS]
    ]
    y = paper.table((MARGIN, y), _said(CHECKS), rows or [(say("none yet"), *[""] * 6)], 4.9)
    done = [(line.when, line.bolts, line.seen, line.after) for line in card.tweaks[:LAST_TWEAKS]]
    return paper.table(
        (MARGIN, y + 1.6), _said(TWEAKS), done or [(say("none yet"), "", "", "")], 4.9
    )


def _by_hand(paper: Paper, y: float) -> None:
    """Blank rows down to the foot: two in three for checks."""
    heading, later = say("No phone? Write here."), say(LATER)
    paper.text(MARGIN, y + 3.6, heading, 4.4, bold=True)
    room = INSIDE - paper.width(heading, 4.4, bold=True) - 3.0
    size = paper.fitting(later, 2.7, LEAST, room)
    paper.text(A5[0] - MARGIN, y + 3.4, later, size, align="right", grey=SOFT)
    y += 5.8
    room = A5[1] - MARGIN - y - 2 * PEN_HEAD - PEN_NOTE
    rows = int(room / LEAST_PITCH)
    for_checks = -(-rows * 3 // 5)
    y = _pen_table(paper, y, _said(PEN_CHECKS), for_checks, room / rows)
    spots = say(SPOTS)
    paper.text(MARGIN, y + 3.5, spots, paper.fitting(spots, 2.6, LEAST, INSIDE), grey=SOFT)
    _pen_table(paper, y + PEN_NOTE, _said(PEN_TWEAKS), rows - for_checks, room / rows)


def _pen_table(
    paper: Paper, y: float, columns: Sequence[tuple[str, float]], rows: int, pitch: float
) -> float:
    x, head = MARGIN, PEN_HEAD
    foot = y + head + rows * pitch
    for name, width in columns:
        fits = paper.fitting(name, 2.7, LEAST, width - 1.4)
        paper.text(x + 0.9, y + 3.6, name, fits, grey=SOFT, room=width - 1.0)
        if len(name) == 1:
            _dashes(paper, x, width, y + head, rows, pitch)
        x += width
        if x < A5[0] - MARGIN - 1:
            paper.pdf.set_draw_color(FAINT)
            paper.pdf.line(x, y, x, foot)
    for row in range(rows):
        paper.rule(MARGIN, y + head + row * pitch, INSIDE, SOFT if row == 0 else 170)
    paper.outline(Box(MARGIN, y, INSIDE, head + rows * pitch), 0.3)
    return foot


def _dashes(paper: Paper, x: float, width: float, y: float, rows: int, pitch: float) -> None:
    """A dashed line across each cell of a spot: one number above, one below."""
    paper.pdf.set_dash_pattern(dash=0.6, gap=0.9)
    for row in range(rows):
        middle = y + (row + 0.5) * pitch
        paper.rule(x + 1.2, middle, width - 2.4, 190)
    paper.pdf.set_dash_pattern()
