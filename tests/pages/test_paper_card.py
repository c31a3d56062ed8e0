"""The paper card from the office: what the log says now, as words on the page."""

import pypdfium2 as pdfium
import pytest
from django.test import Client

from frames.models import Frame
from tests.pages.floor import Floor
from tests.pages.reading import words

pytestmark = pytest.mark.django_db


def sides(client: Client, frame: Frame) -> list[str]:
    response = client.get(f"/office/frames/{frame.pk}/card.pdf")
    assert response["Content-Type"] == "application/pdf"
    assert f"{frame.code}-card.pdf" in response["Content-Disposition"]
    document = pdfium.PdfDocument(response.content)
    return [" ".join(page.get_textpage().get_text_range().split()) for page in document]


def test_a_new_frame_has_a_card(sol: Client, floor: Floor) -> None:
    front, back = sides(sol, floor.frame(417, second_name="K417", note="corner D eased"))
    for said in ("F0417-N", "engraved K417", "1000 × 800 mm", "No mesh on it.", "corner D eased"):
        assert said in front
    assert back.count("none yet") == 2


def test_the_card_tells_screen_readings_and_turns_still_in(sol: Client, floor: Floor) -> None:
    frame = floor.screen(floor.frame(417), 22, 21, 21.5, 22.5, 23)
    floor.expose(frame)
    floor.on_press(frame)
    tweak = floor.tweak(frame)
    marks = {"tweak": tweak["id"], "marks": [], "verdict": "better"}
    floor.tell("after_marks", marks, frame, hours=0.5)
    front, back = sides(sol, frame)
    for said in (
        "Holding. All spots read within 22 ± 1½ N/cm.",
        "77-48 polyester",
        "22 ± 1½ N/cm",
        "exposed, job 2291, blue",
        "Press 2, station 4",
        "Still in for register A1, A2 +1 flat",
        "22½",
        "+1",
    ):
        assert said in front, said
    assert "bare 5 21 23 22 2" in back
    assert "A1, A2 +1 flat one corner better" in back


def test_what_was_voided_is_not_on_the_card(sol: Client, floor: Floor) -> None:
    frame = floor.screen(floor.frame(417), 22)
    wrong, tweak = floor.check(frame, 33, hours=1), floor.tweak(frame)
    for entry in (wrong, tweak):
        floor.tell("void", {"voids": entry["id"], "reason": "wrong frame"}, frame, hours=0)
    front, back = sides(sol, frame)
    assert "33" not in f"{front} {back}".split()
    assert "Still in for register" not in front
    assert "none yet" in back


def test_a_seized_bolt_is_marked_and_named(sol: Client, floor: Floor) -> None:
    frame = floor.frame(417)
    floor.tell("bolt_state", {"bolt": "C2", "state": "seized"}, frame)
    assert "× C2 seized." in sides(sol, frame)[0]


def test_the_frames_page_leads_to_it(sol: Client, floor: Floor) -> None:
    frame = floor.frame(417)
    page = sol.get(f"/office/frames/{frame.pk}/")
    assert "Paper card" in words(page)
    assert f"/office/frames/{frame.pk}/card.pdf" in page.content.decode()
