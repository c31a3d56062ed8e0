"""GET frames/{id}/entries: the log of one frame, newest first, page by page."""

from typing import Any
from uuid import uuid4

import pytest

from shopfloor.api import history
from tests.api.cast import Phone
from tests.api.entries import check, correction, mesh_fitted, note
from tests.api.error_shape import assert_problem

pytestmark = pytest.mark.django_db
MOMENT = "2026-03-02T08:00:00.000+00:00"


@pytest.fixture
def frame() -> str:
    return str(uuid4())


def read(phone: Phone, frame: str) -> list[str]:
    """All pages, one after the other."""
    read, before = [], None
    while True:
        page = phone.get(f"frames/{frame}/entries", before=before).json()
        read += [item["object"] for item in page["items"]]
        before = page["next"]
        if before is None:
            return read


def test_newest_first_and_no_other_frame(phone: Phone, frame: str) -> None:
    old = note(frame=frame, occurred_at=MOMENT)
    new = note(frame=frame)
    phone.push(new, old, note(frame=str(uuid4())), note())
    assert read(phone, frame) == [new["id"], old["id"]]


@pytest.mark.parametrize("size", [1, 2, 3, 100])
def test_pages_lose_nothing_where_many_share_a_moment(
    phone: Phone, frame: str, size: int, monkeypatch: Any
) -> None:
    monkeypatch.setattr(history, "PAGE", size)
    together = [note(frame=frame, occurred_at=MOMENT) for _ in range(7)]
    phone.push(*together)
    assert read(phone, frame) == [one["id"] for one in reversed(together)]


def test_what_was_corrected_over_to_this_frame_is_shown(phone: Phone, frame: str) -> None:
    wrong_frame = mesh_fitted(str(uuid4()))
    slip = check(wrong_frame)
    mended = correction(slip, frame=frame)
    phone.push(wrong_frame, slip, mended)
    assert mended["id"] in read(phone, frame)


def test_an_unknown_frame_is_not_found(phone: Phone, frame: str) -> None:
    body = assert_problem(phone.get(f"frames/{frame}/entries"), 404, "not-found")
    assert body["detail"] == f"Frame {frame} is not known here."


def test_an_unknown_mark_is_not_found(phone: Phone, frame: str) -> None:
    phone.push(note(frame=frame))
    lost = str(uuid4())
    body = assert_problem(phone.get(f"frames/{frame}/entries", before=lost), 404, "not-found")
    assert body["detail"] == f"Entry {lost} is not known here. Begin with the newest."
