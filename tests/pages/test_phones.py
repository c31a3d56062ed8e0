"""Phones come in by invitation and number, and go out by a button; every step is written down."""

from datetime import timedelta
from re import search

import pytest
from django.test import Client
from django.utils import timezone

from frames import log
from shopfloor import auth, authority
from shopfloor.models import AuditEvent, Device, Enrolment
from tests.api.cast import device_of, enrolled
from tests.api.entries import note
from tests.pages.floor import Floor
from tests.pages.reading import errors, fields, words

pytestmark = pytest.mark.django_db
PHONES = "/office/phones/"


def invite(client: Client, **typed: str) -> tuple[Enrolment, dict[str, str]]:
    """Add a phone; the page's form, as it would be sent."""
    response = client.post(f"{PHONES}add/", {"label": "Press 2 tablet", **typed})
    assert "no-store" in response.headers["Cache-Control"]
    return Enrolment.objects.latest("offered_at"), fields(response)


def let_in(client: Client, enrolment: Enrolment, form: dict[str, str], number: str) -> object:
    return client.post(f"{PHONES}waiting/{enrolment.pk}/", form | {"number": number})


def device(label: str = "Press 2 tablet", **seen: object) -> Device:
    now = timezone.now()
    return Device.objects.create(
        label=label, approved_at=now, last_contact_at=now, last_seen={"app": "0.1.0", **seen}
    )


def test_a_phone_comes_in(mara: Client, floor: Floor) -> None:
    enrolment, form = invite(mara, press=str(floor.press.pk), may_turn_with_stencil="on")
    assert enrolment.scope == {"press": str(floor.press.pk), "may_turn_with_stencil": True}
    claim = auth.claim(code=form["code"], about={})
    waiting = mara.get(f"{PHONES}waiting/{enrolment.pk}/")
    assert "The phone shows a number. Type it here." in words(waiting)
    response = let_in(mara, enrolment, form, claim.enrolment.number)
    assert response["Location"] == PHONES
    said = words(mara.get(PHONES))
    assert "Press 2 tablet is in." in said
    assert "stays at Press 2, may turn bolts with a stencil on" in said
    assert "phone let in Press 2 tablet mara" in said
    assert Device.objects.get().enrolled_by.username == "mara"


def test_the_qr_holds_the_token_and_the_address_does_not(mara: Client, settings: object) -> None:
    response = mara.post(f"{PHONES}add/", {"label": "A"})
    token = fields(response)["token"]
    assert response.request["PATH_INFO"] == f"{PHONES}add/"
    assert response.context["qr"].count("h1v1h-1z") > 400
    assert auth.claim(token=token, about={}).enrolment.label == "A"


def test_a_number_before_the_phone_has_scanned(mara: Client) -> None:
    enrolment, form = invite(mara)
    response = let_in(mara, enrolment, form, "47")
    assert errors(response)["number"] == [
        "No phone shows a number yet: scan the code on the phone first."
    ]
    assert fields(response)["token"] == form["token"]
    assert response.context["qr"]
    assert auth.claim(code=form["code"], about={})


def test_a_wrong_number_and_what_is_left(mara: Client) -> None:
    enrolment, form = invite(mara)
    number = auth.claim(code=form["code"], about={}).enrolment.number
    wrong = "10" if number != "10" else "11"
    response = let_in(mara, enrolment, form, wrong)
    assert errors(response)["number"] == [f"“{wrong}”: Look at the phone again, 2 tries left."]
    let_in(mara, enrolment, form, wrong)
    last = let_in(mara, enrolment, form, wrong)
    assert errors(last)["number"] == [f"“{wrong}”: Invite the phone again."]
    assert "This invitation is used up." in words(last)
    assert not Device.objects.exists()


def test_a_phone_without_a_name(mara: Client) -> None:
    response = mara.post(f"{PHONES}add/", {"label": " "})
    assert errors(response)["label"] == ["Nothing written. Name the phone, like Press 2 tablet."]
    response = mara.post(f"{PHONES}add/", {"label": "x" * 61})
    assert errors(response)["label"] == ["Give the phone a name of 1 to 60 characters."]
    assert fields(response)["label"] == "x" * 61


def test_a_waiting_phone_is_turned_away(mara: Client) -> None:
    enrolment, form = invite(mara)
    auth.claim(code=form["code"], about={})
    assert "Press 2 tablet waits" in words(mara.get(PHONES))
    mara.post(f"{PHONES}waiting/{enrolment.pk}/turn-away/")
    enrolment.refresh_from_db()
    assert enrolment.status == "refused"


@pytest.mark.parametrize(
    ("how", "status", "said"),
    [("retire", "retired", "is retired."), ("block", "blocked", "is blocked.")],
)
def test_out_and_back(how: str, status: str, said: str, mara: Client) -> None:
    phone = device()
    assert mara.get(f"{PHONES}{phone.pk}/{how}/").status_code == 200
    phone.refresh_from_db()
    assert phone.status == "active", "asking is not doing"
    assert said in words(mara.post(f"{PHONES}{phone.pk}/{how}/", follow=True))
    phone.refresh_from_db()
    assert phone.status == status
    mara.post(f"{PHONES}{phone.pk}/reactivate/")
    phone.refresh_from_db()
    assert phone.status == "active"
    assert list(AuditEvent.objects.values_list("kind", "by_name")) == [
        ("reactivated", "mara"),
        (status, "mara"),
    ]


@pytest.mark.promise(10)
def test_how_each_phone_is_doing(mara: Client, floor: Floor) -> None:
    hours_ago = (timezone.now() - timedelta(hours=3)).isoformat()
    phone = device(unsent=4, oldest_at=hours_ago)
    gap = note(device_seq=3, install_id="0193a6c0-0000-7000-8000-00000000cafe")
    log.append([gap], device=phone.name_in_log, received_at=timezone.now())
    said = words(mara.get(PHONES))
    assert "4 entries not sent, oldest 3 h ago." in said
    assert "2 entries are missing in its numbering." in said
    assert "in use just now 4 3 h ago 0.1.0 Retire" in said


def test_another_phone_makes_up_no_gaps(mara: Client, floor: Floor) -> None:
    mine, other = enrolled("Press 2"), enrolled("Press 3")
    mine.push(note(device_seq=1, install_id=str(mine.install_id)))
    for number in (70, 2**53 - 1):
        other.push(note(device_seq=number, install_id=str(mine.install_id)))
    for page in ("/office/", PHONES):
        assert "missing in its numbering" not in words(mara.get(page))


def test_a_phone_let_in_anew_shows_its_gaps(mara: Client, floor: Floor) -> None:
    before, anew = enrolled("Press 2"), enrolled("Press 2 again")
    anew.install_id = before.install_id
    before.push(note(device_seq=1, install_id=str(before.install_id)))
    mara.post(f"{PHONES}{device_of(before).pk}/block/")
    anew.push(note(device_seq=4, install_id=str(before.install_id)))
    assert "2 entries are missing in its numbering." in words(mara.get(PHONES))


def test_the_shops_own_certificate_is_shown_for_comparing(
    mara: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert "certificate" not in words(mara.get(PHONES))
    monkeypatch.setattr(authority, "fingerprint", lambda folder: "AB:CD:EF")
    assert "Compare before installing. AB:CD:EF" in words(mara.get(PHONES))


def test_only_the_manager_sees_phones(sol: Client) -> None:
    assert sol.get(PHONES).status_code == 403
    assert search(r">Phones<", sol.get("/office/").content.decode()) is None


def test_no_such_change(mara: Client) -> None:
    assert mara.post(f"{PHONES}{device().pk}/delete/").status_code == 404
