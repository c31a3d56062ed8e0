"""What the office's first pages cost when the log is ten times as long."""

from collections.abc import Iterator

from django.test import Client

from tests.api.cast import person, signed_in
from tests.bench.book import Book
from tests.bench.timing import Row, usual

PAGES = {"/office/": "office first page", "/office/frames/": "office frames page"}
FRAMES, FEW, MANY = 5000, 10_000, 100_000


def rows() -> Iterator[Row]:
    client = signed_in(person("mara", "manager"))
    book = Book(FRAMES, MANY)
    book.grow(FEW)
    before = times(client)
    book.grow(MANY)
    yield from compared(before, times(client), FEW, MANY)


def times(client: Client) -> dict[str, float]:
    return {address: usual(lambda address=address: _get(client, address)) for address in PAGES}


def compared(
    before: dict[str, float], after: dict[str, float], few: int, many: int
) -> Iterator[Row]:
    for address, name in PAGES.items():
        yield Row(
            f"{name}, {FRAMES:,} frames, {many:,} against {few:,} entries",
            f"{after[address] * 1000:.0f} ms against {before[address] * 1000:.0f} ms",
            after[address] / before[address],
            "≤ 1.5",
        )


def _get(client: Client, address: str) -> None:
    assert client.get(address).status_code == 200
