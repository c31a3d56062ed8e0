"""A printed label held before the camera: the real PDF, rasterised, as a film of pictures."""

from io import BytesIO
from pathlib import Path

import pypdfium2
import zxingcpp
from PIL import Image

DPI = 150
PICTURE = (1280, 720)
FRAMES = 12
DESK = (150, 148, 143)


def pages_of(pdf: bytes) -> list[Image.Image]:
    document = pypdfium2.PdfDocument(pdf)
    return [page.render(scale=DPI / 72).to_pil().convert("RGB") for page in document]


def label_on(page: Image.Image) -> Image.Image:
    """The part of a sheet that somebody points the camera at: the first symbol with its margin."""
    found = zxingcpp.read_barcodes(page, zxingcpp.BarcodeFormat.QRCode)
    assert found, "no symbol on the sheet can be read"
    first = min(found, key=lambda one: (one.position.top_left.y, one.position.top_left.x))
    corners = [getattr(first.position, name) for name in ("top_left", "bottom_right")]
    side = corners[1].x - corners[0].x
    left, top = corners[0].x - side // 2, corners[0].y - side // 2
    return page.crop((max(0, left), max(0, top), left + 2 * side, top + 2 * side))


def film(picture: Image.Image, to: Path) -> Path:
    """Motion JPEG as Chromium's file camera wants it, the label lying a little askew."""
    ground = Image.new("RGB", PICTURE, DESK)
    side = PICTURE[1] * 2 // 3
    label = picture.resize((side, side)).rotate(7, expand=True, fillcolor=DESK)
    ground.paste(label, ((PICTURE[0] - label.width) // 2, (PICTURE[1] - label.height) // 2))
    raw = BytesIO()
    ground.save(raw, "JPEG", quality=85)
    to.write_bytes(raw.getvalue() * FRAMES)
    return to


def point_at_label(pdf: bytes, to: Path) -> Path:
    return film(label_on(pages_of(pdf)[0]), to)


def point_at(picture: bytes, to: Path) -> Path:
    """The camera before a screen that shows this picture."""
    return film(Image.open(BytesIO(picture)).convert("RGB"), to)
