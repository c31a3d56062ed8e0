"""A file comes in: read, held against the book, kept as lines. Nothing of the book is touched."""

from collections.abc import Iterator
from dataclasses import asdict
from datetime import datetime

from django.db import transaction

from frames.models import Colour, Frame, FrameState, Job, Mesh, Shop
from frames.wording import say
from shopfloor.exchange.checking import proposals
from shopfloor.exchange.decoding import FileProblem, decode
from shopfloor.exchange.models import Line, Upload
from shopfloor.exchange.proposals import Book, Proposal
from shopfloor.exchange.splitting import split

AT_ONCE = 500


def receive(slug: str, data: bytes, *, name: str, by: str, now: datetime) -> Upload:
    """Keep what a file proposes. FileProblem or HeadingProblem if it cannot be read."""
    decoded = decode(data)
    sheet = split(decoded.text)
    headings, found = proposals(slug, sheet, the_book())
    upload = Upload(
        slug=slug,
        file_name=name[-120:],
        encoding=decoded.encoding,
        mark=sheet.mark,
        heading=list(sheet.heading),
        left_out=[list(pair) for pair in headings.left_out],
        by_name=by,
        at=now,
    )
    with transaction.atomic():
        Upload.objects.forgotten(now).delete()
        upload.save()
        Line.objects.bulk_create(_lines(upload, found), batch_size=AT_ONCE)
    return upload


def the_book() -> Book:
    shop = Shop.objects.first()
    if shop is None:
        raise FileProblem(
            "shop", "", say("Set up the shop first: its name and the letters of codes.")
        )
    return Book(
        shop.prefix,
        frames=(one.body() for one in Frame.objects.all()),
        meshes=(one.body() for one in Mesh.objects.all()),
        jobs=(one.body() for one in Job.objects.all()),
        colours=(one.body() for one in Colour.objects.all()),
        used=map(str, FrameState.objects.values_list("frame", flat=True)),
    )


def _lines(upload: Upload, found: list[Proposal]) -> Iterator[Line]:
    """Things with a number of their own come first, so that the others get what is left free."""
    in_turn = sorted(found, key=lambda one: not one.values.get("number") and one.thing is None)
    for place, one in enumerate(in_turn):
        yield Line(
            upload=upload,
            place=place,
            row=one.rows[0],
            name=one.name[:130],
            verdict=one.verdict,
            rows=one.rows,
            cells=[list(cells) for cells in one.cells],
            faults=[asdict(fault) for fault in one.faults],
            differences=[asdict(difference) for difference in one.differences],
            body={
                "values": one.values,
                "thing": one.thing,
                "version": one.version,
                "parts": [asdict(part) for part in one.parts],
            },
        )
