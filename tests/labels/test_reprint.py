"""Labels made once more: the app asks to look at the punch mark, and notes who and when."""

from datetime import timedelta
from typing import Any
from urllib.parse import urlencode

import pytest
from django.contrib.auth.models import Group, User
from django.test import Client
from django.utils import timezone

from frames.models import Frame
from shopfloor.labels.models import LabelPrint
from tests.labels.test_views import frame, office

__all__ = ["frame", "office"]
ROLL = {"width": "76", "height": "51", "dpi": "203"}
QUESTION = "Look at the punch mark first"


@pytest.fixture
def other(db: None) -> Client:
    person = User.objects.create(username="noor")
    person.groups.add(Group.objects.get_or_create(name="manager")[0])
    browser = Client()
    browser.force_login(person)
    return browser


def address(frame: Frame, name: str = "sheet.pdf", **more: str) -> str:
    return f"/office/labels/{name}?{urlencode({'frame': str(frame.pk), **more})}"


def printed() -> list[tuple[str, str, bool]]:
    rows = LabelPrint.objects.order_by("pk")
    return [(row.by_name, row.onto, row.mark_checked) for row in rows]


def is_pdf(answer: Any) -> bool:
    return answer.content.startswith(b"%PDF")


def test_the_first_labels_are_noted_and_nothing_is_asked(office: Client, frame: Frame) -> None:
    assert is_pdf(office.get(address(frame)))
    assert printed() == [("ilka", "a4-14", False)]


def test_labels_once_more_ask_for_the_mark(office: Client, other: Client, frame: Frame) -> None:
    office.get(address(frame))
    asked = other.get(address(frame, "roll.pdf", **ROLL))
    said = asked.content.decode()
    assert asked.status_code == 200
    assert QUESTION in said
    assert "by ilka" in said
    assert f"{frame.code}</a>, engraved 12" in said
    assert printed() == [("ilka", "a4-14", False)]


def test_the_answer_makes_the_labels_and_is_kept(
    office: Client, other: Client, frame: Frame
) -> None:
    office.get(address(frame))
    assert is_pdf(other.post(address(frame, "roll.pdf", **ROLL), {"mark": "seen"}))
    assert printed()[1:] == [("noor", "roll, 76 × 51 mm, 203 dpi", True)]


def test_a_button_pressed_without_the_tick_asks_again(
    office: Client, other: Client, frame: Frame
) -> None:
    office.get(address(frame))
    asked = other.post(address(frame), {})
    assert "Tick this once you have looked at the frame." in asked.content.decode()
    assert len(printed()) == 1


def test_a_jam_is_no_second_label_but_the_next_day_is(office: Client, frame: Frame) -> None:
    office.get(address(frame))
    assert is_pdf(office.get(address(frame)))
    LabelPrint.objects.update(at=timezone.now() - timedelta(days=1))
    assert QUESTION in office.get(address(frame)).content.decode()


def test_only_frames_with_labels_before_are_named(
    office: Client, other: Client, frame: Frame
) -> None:
    from frames import things

    values = {k: v for k, v in frame.body().items() if k in things.forms.Frame.model_fields}
    second = things.create("frame", values | {"number": None, "second_name": ""}, "test")
    office.get(address(frame))
    both = f"{address(frame)}&frame={second.pk}"
    assert f"{second.code}</a>" not in other.get(both).content.decode()
    other.post(both, {"mark": "seen"})
    told = LabelPrint.objects.filter(by_name="noor").values_list("frame", "mark_checked")
    assert dict(told) == {frame.pk: True, second.pk: False}


def test_asking_for_the_size_alone_notes_nothing(office: Client, frame: Frame) -> None:
    assert office.head(address(frame)).status_code == 200
    assert printed() == []


def test_pictures_for_a_roll_come_as_zip(office: Client, frame: Frame) -> None:
    answer = office.get(address(frame, "roll.zip", **ROLL | {"dpi": "300"}))
    assert answer["Content-Type"] == "application/zip"
    assert answer.content.startswith(b"PK")


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ({"width": "wide"}, "Give a number, like 76 or 25.4."),
        ({"width": "7"}, "Give the label&#x27;s width in mm, from 25 to 210."),
        ({"dpi": "72"}, "203, 300, 600"),
        ({"height": "12"}, "Choose labels of at least"),
        ({"dpi": "nan"}, "Give a number, like 76 or 25.4."),
        ({"width": "inf"}, "Give a number, like 76 or 25.4."),
    ],
)
def test_a_wrong_size_is_told(office: Client, frame: Frame, asked: dict, says: str) -> None:
    answer = office.get(address(frame, "roll.pdf", **ROLL | asked))
    assert answer.status_code == 400
    assert says in answer.content.decode()
    assert printed() == []
