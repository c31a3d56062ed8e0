"""The addresses of the label files: who may, what they answer, what a wrong request is told."""

from typing import Any
from uuid import uuid4

import pytest
import zxingcpp
from django.contrib.auth.models import Group, User
from django.test import Client

from frames import things
from frames.models import Frame
from shopfloor.labels import STOCKS
from shopfloor.labels.symbol import address
from tests.labels.printed import Frame as Example
from tests.labels.printed import Printed

SHEET = "/office/labels/sheet.pdf"


@pytest.fixture
def office(db: None) -> Client:
    person = User.objects.create(username="ilka")
    person.groups.add(Group.objects.get_or_create(name="screen room")[0])
    browser = Client()
    browser.force_login(person)
    return browser


@pytest.fixture
def frame(db: None) -> Frame:
    shop = {"name": "Corner shop", "prefix": "F"}
    things.create("shop", shop, "test")
    values = {
        "second_name": "12",
        "profile": "plain_u",
        "inside_a_mm": 800,
        "inside_b_mm": 1000,
        "bolts": Example("").bolts,
        "pitch_mm": 1.4111,
        "head": "hex",
        "step_48ths": 8,
        "lock": "twin_rod",
    }
    return things.create("frame", values, "test")


def test_a_sheet_has_both_labels_of_the_frame(office: Client, frame: Frame, settings: Any) -> None:
    answer = office.get(SHEET, {"frame": str(frame.pk), "stock": "a4-8", "start": "3"})
    assert answer.status_code == 200
    assert answer["Content-Type"] == "application/pdf"
    read = zxingcpp.read_barcodes(Printed(answer.content, 150).page())
    says = address(frame.code, settings.PUBLIC_ORIGIN)
    assert [found.text for found in read] == [says, says]


def test_the_picture_and_the_trial_page(office: Client, frame: Frame) -> None:
    picture = office.get(f"/office/labels/{frame.pk}-A.png")
    assert picture.content.startswith(b"\x89PNG")
    for key in STOCKS:
        page = office.get("/office/labels/trial.pdf", {"stock": key})
        assert page.content.startswith(b"%PDF")
    assert office.get(f"/office/labels/{uuid4()}-A.png").status_code == 404


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ({"frame": "here", "start": "first"}, "first free label"),
        ({"frame": "here", "start": "99"}, "labels 1 to 14"),
        ({"frame": "here", "stock": "round"}, "a4-14"),
        ({}, "at least one frame"),
        ({"frame": "417"}, "labels page"),
        ({"frame": str(uuid4())}, "not known"),
    ],
)
def test_a_wrong_request_is_told_what_to_do(
    office: Client, frame: Frame, asked: dict[str, str], says: str
) -> None:
    asked = {key: str(frame.pk) if value == "here" else value for key, value in asked.items()}
    answer = office.get(SHEET, asked)
    assert answer.status_code == 400
    assert says in answer.content.decode()


def test_nobody_without_a_sign_in_gets_a_label(db: None) -> None:
    for path in (SHEET, "/office/labels/trial.pdf", f"/office/labels/{uuid4()}-A.png"):
        answer = Client().get(path)
        assert answer.status_code == 302
        assert "/sign-in/" in answer["Location"]
