"""All lists in one ZIP that is sent while it is being written, so its size is no matter."""

import zipfile
from collections.abc import Iterable, Iterator
from datetime import datetime

from shopfloor.exchange.lists import LISTS
from shopfloor.exchange.sheets import written

PIECE = 64 * 1024


class _Outbox:
    """A file that can only be written to; what was written is taken out piece by piece."""

    def __init__(self) -> None:
        self._waiting: list[bytes] = []
        self.size = 0

    def write(self, piece: bytes) -> int:
        self._waiting.append(bytes(piece))
        self.size += len(piece)
        return len(piece)

    def flush(self) -> None:
        """Nothing is held back here."""

    def taken(self) -> bytes:
        piece = b"".join(self._waiting)
        self._waiting, self.size = [], 0
        return piece


def everything(now: datetime) -> Iterator[bytes]:
    """The bytes of a ZIP with one CSV file for each list."""
    outbox = _Outbox()
    with zipfile.ZipFile(outbox, "w", zipfile.ZIP_DEFLATED) as archive:  # type: ignore[arg-type]
        for name, one in LISTS.items():
            about = zipfile.ZipInfo(f"{name}.csv", now.timetuple()[:6])
            about.compress_type = zipfile.ZIP_DEFLATED
            yield from _member(archive, about, written(one.all_rows()), outbox)
    yield outbox.taken()


def _member(
    archive: zipfile.ZipFile, about: zipfile.ZipInfo, rows: Iterable[str], outbox: _Outbox
) -> Iterator[bytes]:
    with archive.open(about, "w", force_zip64=True) as member:
        for row in rows:
            member.write(row.encode())
            if outbox.size > PIECE:
                yield outbox.taken()
