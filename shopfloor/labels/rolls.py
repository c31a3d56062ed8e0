"""Labels from a roll printer: one label a page, both sides of each frame, in the printer's dots."""

import zipfile
from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO

from PIL import Image

from frames.wording import mark, say, written

from .ink import Ink
from .pages import MOST_FRAMES, SIDES
from .plan_view import Labelled
from .problems import LabelProblem
from .stocks import Box
from .tag import draw_tag

# Print heads sold as 203 dpi have 8 dots to the mm: common practice, no source.
RESOLUTIONS = {203: 8.0, 300: 300 / 25.4, 600: 600 / 25.4}
FINE = 20.0  # dots per mm from which letters need not be drawn finer than they print
MEASURES = {
    "width": mark("Give the label's width in mm, from {0} to {1}."),
    "height": mark("Give the label's height in mm, from {0} to {1}."),
}
WIDTHS, HEIGHTS = (25.0, 210.0), (12.0, 300.0)


@dataclass(frozen=True)
class Roll:
    """A label on the roll in mm and the printer's dots per inch; LabelProblem if it cannot be."""

    width_mm: float
    height_mm: float
    dpi: int

    def __post_init__(self) -> None:
        for field, value, (low, high) in (
            ("width", self.width_mm, WIDTHS),
            ("height", self.height_mm, HEIGHTS),
        ):
            if not low <= value <= high:
                remedy = say(MEASURES[field], written(low, "g"), written(high, "g"))
                raise LabelProblem(field, value, remedy)
        if self.dpi not in RESOLUTIONS:
            known = ", ".join(map(str, RESOLUTIONS))
            raise LabelProblem(
                "dpi", self.dpi, say("Choose the printer's dots per inch: {0}.", known)
            )

    @property
    def grid(self) -> float:
        """Dots of the print head to the mm."""
        return RESOLUTIONS[self.dpi]

    @property
    def title(self) -> str:
        return say(
            "roll, {0} × {1} mm, {2} dpi",
            written(self.width_mm, "g"),
            written(self.height_mm, "g"),
            self.dpi,
        )


def roll_label(frame: Labelled, side: str, roll: Roll, origin: str) -> Image.Image:
    """One label, one bit deep, a dot of the picture for each dot of the printer."""
    if side not in SIDES:
        raise LabelProblem("side", side, say("Choose A or C: the two walls that carry a label."))
    over = 1
    while roll.grid * over < FINE:
        over += 1
    ink = Ink(roll.width_mm, roll.height_mm, roll.grid, over)
    try:
        draw_tag(ink, Box(0.0, 0.0, roll.width_mm, roll.height_mm), frame, side, origin)
    except LabelProblem as small:
        if small.field != "stock":
            raise
        raise LabelProblem("size", small.value, small.remedy) from None
    return ink.printed()


def roll_pdf(frames: Sequence[Labelled], roll: Roll, origin: str) -> bytes:
    """Both labels of every frame as a PDF, one label a page of the label's own size."""
    first, *rest = [image for _, image in _labels(frames, roll, origin)]
    out = BytesIO()
    dpi = 25.4 * roll.grid
    first.save(out, "PDF", save_all=True, append_images=rest, resolution=dpi, title=say("Labels"))
    return out.getvalue()


def roll_png(frame: Labelled, side: str, roll: Roll, origin: str) -> bytes:
    """One label as a PNG that says its true size."""
    return _png(roll_label(frame, side, roll, origin), roll)


def roll_pictures(frames: Sequence[Labelled], roll: Roll, origin: str) -> bytes:
    """Both labels of every frame as PNG files in a ZIP."""
    out = BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for name, image in _labels(frames, roll, origin):
            archive.writestr(f"{name}.png", _png(image, roll))
    return out.getvalue()


def _labels(frames: Sequence[Labelled], roll: Roll, origin: str) -> list[tuple[str, Image.Image]]:
    if not frames:
        raise LabelProblem("frames", None, say("Choose at least one frame."))
    if len(frames) > MOST_FRAMES:
        raise LabelProblem("frames", len(frames), say("Print at most {0} at a time.", MOST_FRAMES))
    return [
        (f"{frame.code}-side-{side}", roll_label(frame, side, roll, origin))
        for frame in frames
        for side in SIDES
    ]


def _png(image: Image.Image, roll: Roll) -> bytes:
    out = BytesIO()
    dpi = 25.4 * roll.grid
    image.save(out, "PNG", dpi=(dpi, dpi))
    return out.getvalue()
