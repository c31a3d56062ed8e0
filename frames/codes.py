"""Frame codes such as `F0417-N`: prefix, number and one check character.

The check character follows ISO/IEC 7064, MOD 37,36: it catches every single wrong character
and nearly every swap of neighbours.
"""

import re
from dataclasses import dataclass
from urllib.parse import unquote, urlsplit

from frames.errors import CodeError
from frames.wording import say

ALPHABET = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
SHAPE = re.compile(r"([A-Z]{1,3})([0-9]{4,9})-?([0-9A-Z])")
LABEL_PATH = re.compile(r"/f/([^/]+)/?", re.IGNORECASE)


@dataclass(frozen=True)
class Code:
    prefix: str
    number: int

    def __str__(self) -> str:
        return format_code(self.prefix, self.number)


@dataclass(frozen=True)
class Target:
    """What a scan means here; `other_host` is set when the label was made for another address."""

    code: Code
    other_host: str | None


def check_character(text: str) -> str:
    """The ISO/IEC 7064 MOD 37,36 check character of digits and capital letters."""
    product = 36
    for character in text:
        product = (product + ALPHABET.index(character)) % 36 or 36
        product = product * 2 % 37
    return ALPHABET[(37 - product) % 36]


def format_code(prefix: str, number: int) -> str:
    """`F`, 417 → `F0417-N`."""
    body = f"{prefix}{number:04d}"
    code = f"{body}-{check_character(body)}"
    if not SHAPE.fullmatch(code):
        raise CodeError(
            "number", number, say("Use 1 to 3 letters and a number from 0 to 999999999.")
        )
    return code


def parse_code(text: str) -> Code:
    """Read a code in any case, with or without hyphen and spaces; CodeError if it cannot be."""
    tight = re.sub(r"\s", "", text).upper()
    match = SHAPE.fullmatch(tight)
    if not match:
        raise CodeError("code", text, say("Type the code as printed, for example F0417-N."))
    prefix, digits, check = match.groups()
    if check_character(prefix + digits) != check:
        raise CodeError(
            "code", text, say("One character is wrong: compare it with the label again.")
        )
    return Code(prefix, int(digits))


def scan_target(text: str, origin: str) -> Target:
    """What a scanned text means: a label's address on any host, or a bare code.

    An address is only ever read, never opened. CodeError if no frame code is in it.
    """
    if "://" not in text:
        return Target(parse_code(text), None)
    try:
        seen, ours = urlsplit(text.strip()), urlsplit(origin)
        match = LABEL_PATH.fullmatch(seen.path)
        if not match or seen.scheme.lower() not in ("http", "https"):
            raise ValueError
        elsewhere = seen.netloc.lower() != ours.netloc.lower()
    except ValueError:
        raise CodeError(
            "code", text, say("This is not a frame label: scan a label of a frame.")
        ) from None
    return Target(parse_code(unquote(match[1])), seen.netloc.lower() if elsewhere else None)
