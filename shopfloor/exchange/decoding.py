"""Bytes of a file become text, whatever a spreadsheet program wrote; pure."""

import codecs
from dataclasses import dataclass

from frames.errors import BadInput, Problem
from frames.wording import mark, say, written

MOST_BYTES = 8 * 1024 * 1024
OTHER_FORMATS = (
    (b"PK\x03\x04", mark("a workbook, not a CSV file")),
    (b"\xd0\xcf\x11\xe0", mark("an old workbook, not a CSV file")),
    (b"%PDF", mark("a PDF, not a CSV file")),
    (b"\x89PNG", mark("a picture, not a CSV file")),
    (b"\xff\xd8\xff", mark("a picture, not a CSV file")),
)
BOMS = (
    (codecs.BOM_UTF8, "utf-8-sig", "UTF-8"),
    (codecs.BOM_UTF16_LE, "utf-16", "UTF-16"),
    (codecs.BOM_UTF16_BE, "utf-16", "UTF-16"),
)
SAVE_AS_CSV = mark(
    "Open it in your spreadsheet program, save its sheet as CSV, and choose that file."
)
SAVE_AS_UTF8 = mark(
    "Save it again as “CSV UTF-8” in your spreadsheet program, and choose that file."
)


class FileProblem(BadInput):
    """A file that cannot be read as a list at all; nothing of it was taken."""

    title = mark("This file cannot be read")

    def __init__(self, field: str, value: object, remedy: str) -> None:
        super().__init__([Problem(field, value, remedy)])


@dataclass(frozen=True)
class Decoded:
    text: str
    encoding: str


def decode(data: bytes) -> Decoded:
    """The text of a file and the name of its encoding; FileProblem if it is no text."""
    _refuse_what_is_no_list(data)
    for first, codec, name in BOMS:
        if data.startswith(first):
            return Decoded(_strictly(data, codec), name)
    if codec := _wide_without_mark(data):
        return Decoded(_strictly(data, codec), "UTF-16")
    try:
        return Decoded(_strictly(data, "utf-8"), "UTF-8")
    except UnicodeDecodeError:
        return Decoded(_strictly(data, "cp1252"), "Windows-1252")


def _refuse_what_is_no_list(data: bytes) -> None:
    if len(data) > MOST_BYTES:
        size, most = len(data) / 1024 / 1024, MOST_BYTES // 1024 // 1024
        remedy = say("Split it: a file may have up to {0} MB.", most)
        raise FileProblem("file", say("{0} MB", written(size, ".1f")), remedy)
    if not data.strip(b"\xef\xbb\xbf\xff\xfe \t\r\n\0"):
        raise FileProblem("file", None, say("Choose another file: nothing is in this one."))
    for start, said in OTHER_FORMATS:
        if data.startswith(start):
            raise FileProblem("file", say(said), say(SAVE_AS_CSV))


def _wide_without_mark(data: bytes) -> str:
    """UTF-16 without its mark: every other byte of plain text is then a zero."""
    head = data[:2000]
    low, high = head[0::2].count(0), head[1::2].count(0)
    half = len(head) // 2
    if half and high > 0.7 * half and low < 0.1 * half:
        return "utf-16-le"
    return "utf-16-be" if half and low > 0.7 * half and high < 0.1 * half else ""


def _strictly(data: bytes, codec: str) -> str:
    try:
        text = data.decode(codec)
    except UnicodeDecodeError:
        if codec == "utf-8":
            raise
        raise FileProblem("file", say("letters that cannot be read"), say(SAVE_AS_UTF8)) from None
    if "\0" in text:
        raise FileProblem("file", say("no text"), say(SAVE_AS_CSV))
    return text
