"""The QR symbol of a frame: its address, its modules, and the room it needs.

ISO/IEC 18004: capital letters, digits and a few signs (space $ % * + - . / :) go into
alphanumeric mode, which keeps the symbol small; error correction Q restores about a
quarter of the codewords, H about thirty percent; four modules stay blank all round.
"""

from dataclasses import dataclass
from urllib.parse import urlsplit

import numpy as np
import qrcode
from numpy.typing import NDArray
from qrcode.constants import ERROR_CORRECT_H, ERROR_CORRECT_Q
from qrcode.util import MODE_ALPHA_NUM, QRData

from .problems import LabelProblem

QUIET = 4  # blank modules on each side
LEAST_MODULE_MM = 0.5  # what a phone reads from 20 cm through smears: common practice, no source


@dataclass(frozen=True)
class Symbol:
    """The modules of one symbol (True is dark), without the quiet zone."""

    text: str
    version: int
    correction: str
    modules: NDArray[np.bool_]

    @property
    def across(self) -> int:
        """Modules from edge to edge, the quiet zone included."""
        return len(self.modules) + 2 * QUIET

    @property
    def least_mm(self) -> float:
        return self.across * LEAST_MODULE_MM


def address(code: str, origin: str) -> str:
    """The label's address in capitals: `HTTPS://HOST/F/F0417-N`."""
    parts = urlsplit(origin)
    if parts.scheme not in ("http", "https") or not parts.hostname or parts.path.strip("/"):
        raise LabelProblem(
            "PUBLIC_ORIGIN",
            origin,
            "set it to the address phones use, such as https://tautbook.shop.lan",
        )
    return f"{parts.scheme}://{parts.netloc}/f/{code}".upper()


def symbol(text: str) -> Symbol:
    """The smallest symbol with correction Q, raised to H where that costs no size."""
    mode = None if set(text) - _ALPHANUMERIC else MODE_ALPHA_NUM
    usual = _made(text, ERROR_CORRECT_Q, mode)
    strong = _made(text, ERROR_CORRECT_H, mode)
    made, name = (strong, "H") if strong.version == usual.version else (usual, "Q")
    return Symbol(text, made.version, name, np.array(made.modules, dtype=bool))


_ALPHANUMERIC = frozenset("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:")


def _made(text: str, correction: int, mode: int | None) -> qrcode.QRCode:
    code = qrcode.QRCode(error_correction=correction, border=0)
    code.add_data(QRData(text, mode=mode))
    code.make(fit=True)
    return code
