"""Lists go out: each as CSV, all in one ZIP, rows to mend, blank lists, and what columns mean."""

from collections.abc import Iterable, Iterator
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from shopfloor.auth import who_may
from shopfloor.exchange.archive import everything
from shopfloor.exchange.columns import KINDS, MENDS
from shopfloor.exchange.lists import LISTS
from shopfloor.exchange.models import Line, Upload
from shopfloor.exchange.sheets import written


@require_safe
@who_may("screen room", "manager")
def columns(request: HttpRequest) -> HttpResponse:
    """What each column of a list means, from the table that reads and writes them."""
    return render(request, "office/exchange/columns.html", {"kinds": KINDS})


@require_safe
@who_may("screen room", "manager")
def blank(request: HttpRequest, slug: str) -> StreamingHttpResponse:
    """A list to fill in: the headings and one example."""
    if slug not in KINDS:
        raise Http404
    shown = [column for column in KINDS[slug].columns if column.key not in ("code", "retired")]
    rows = ([column.heading for column in shown], [column.example for column in shown])
    return _csv(f"{slug}-to-fill-in", written(rows))


@require_safe
@who_may("screen room", "manager")
def one_list(request: HttpRequest, slug: str) -> StreamingHttpResponse:
    if slug not in LISTS:
        raise Http404
    return _csv(slug, written(LISTS[slug].all_rows()))


@require_safe
@who_may("screen room", "manager")
def archive(request: HttpRequest) -> StreamingHttpResponse:
    """Every list in one ZIP."""
    now = timezone.localtime()
    name = f"tautbook-{now:%Y-%m-%d}.zip"
    return _download(everything(now), "application/zip", name)


@require_safe
@who_may("screen room", "manager")
def kept(request: HttpRequest, upload_id: UUID) -> StreamingHttpResponse:
    """The rows that were not taken, as they came, with what to mend beside them."""
    upload = get_object_or_404(Upload, pk=upload_id)
    return _csv("rows-to-mend", written(_kept_rows(upload), upload.mark))


def _kept_rows(upload: Upload) -> Iterator[list[str]]:
    """What to mend stands first, so that rows with too many cells do not hide it."""
    old = upload.heading.index(MENDS) if MENDS in upload.heading else None
    yield [MENDS, *_without(upload.heading, old)]
    for line in upload.lines.kept_back().iterator(500):
        for number, cells in zip(line.rows, line.cells, strict=True):
            yield [_mends(line, number), *_without(cells, old)]


def _without(cells: list[str], at: int | None) -> list[str]:
    """The cells but for what an earlier turn said to mend."""
    return [cell for place, cell in enumerate(cells) if place != at]


def _mends(line: Line, row: int) -> str:
    own = [f for f in line.faults if f["row"] == row]
    if not own:
        return f"Kept with row {line.faults[0]['row']}." if line.faults else ""
    return " ".join(f"{f['heading']}: {f['remedy']}" for f in own)


def _csv(name: str, rows: Iterable[str]) -> StreamingHttpResponse:
    return _download(rows, "text/csv; charset=utf-8", f"{name}.csv")


def _download(
    pieces: Iterable[str] | Iterable[bytes], kind: str, name: str
) -> StreamingHttpResponse:
    answer = StreamingHttpResponse(pieces, content_type=kind)
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    return answer
