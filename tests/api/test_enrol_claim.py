"""POST enrol/claim: a phone takes an invitation up by the QR code's token or the typed code."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.contrib.auth.models import User
from django.utils import timezone

from shopfloor import auth
from shopfloor.auth.secrets_at_rest import ALPHABET
from shopfloor.models import AuditEvent, Enrolment
from tests.api.cast import Phone, shop
from tests.api.error_shape import assert_problem

pytestmark = pytest.mark.django_db
WRONG = "is wrong, used up or too old. Ask the manager for a new one on the page Phones."


@pytest.fixture
def offer(mara: User) -> auth.Offer:
    return auth.offer(mara, "Press 4", {"may_turn_with_stencil": True})


def claim(phone: Phone, **what: str) -> Any:
    body = {"install_id": str(uuid4()), "about": {"platform": "Android"}} | what
    return phone.post("enrol/claim", body)


def test_the_token_is_answered_with_a_number_to_show(stranger: Phone, offer: auth.Offer) -> None:
    answer = claim(stranger, token=offer.token).json()
    waiting = Enrolment.objects.waiting().get()
    assert answer["number"] == waiting.number
    assert len(answer["number"]) == 2
    assert waiting.about["platform"] == "Android"
    assert answer["shop"] == ""


def test_it_names_the_shop(stranger: Phone, offer: auth.Offer, mara: User) -> None:
    shop()
    assert claim(stranger, token=offer.token).json()["shop"] == "Quay Street Print"


@pytest.mark.parametrize("typed", [str.upper, str.lower, lambda code: f" {code[:4]}-{code[4:]} "])
def test_the_code_is_typed_any_way(stranger: Phone, offer: auth.Offer, typed: Any) -> None:
    assert claim(stranger, code=typed(offer.code)).status_code == 200


def test_the_code_is_easy_to_read_aloud(offer: auth.Offer) -> None:
    assert len(offer.code) == 8
    assert set(offer.code) <= set(ALPHABET)
    assert not set("01OILUV") & set(ALPHABET)


def test_the_token_holds_128_bits_and_is_kept_as_a_digest(offer: auth.Offer) -> None:
    # 22 characters of base64url carry 16 bytes (RFC 4648, section 5)
    assert len(offer.token) == 22
    kept = str(vars(Enrolment.objects.get()))
    assert offer.token not in kept
    assert offer.code not in kept


def test_an_invitation_serves_once(stranger: Phone, offer: auth.Offer) -> None:
    assert claim(stranger, token=offer.token).status_code == 200
    for way in ({"token": offer.token}, {"code": offer.code}):
        body = assert_problem(claim(stranger, **way), 422, "invalid")
        (name,) = way
        assert body["errors"] == [{"field": name, "value": "", "remedy": f"This {name} {WRONG}"}]


def test_after_ten_minutes_it_is_too_old(stranger: Phone, offer: auth.Offer) -> None:
    assert offer.enrolment.expires_at - offer.enrolment.offered_at == timedelta(minutes=10)
    Enrolment.objects.update(expires_at=timezone.now())
    assert_problem(claim(stranger, token=offer.token), 422, "invalid")


def test_five_wrong_codes_close_the_code_but_not_the_token(
    stranger: Phone, offer: auth.Offer
) -> None:
    for _ in range(5):
        assert_problem(claim(stranger, code="22222222"), 422, "invalid")
    assert_problem(claim(stranger, code=offer.code), 422, "invalid")
    assert AuditEvent.objects.filter(kind="wrong_code").count() == 5
    assert claim(stranger, token=offer.token).status_code == 200


def test_four_wrong_codes_leave_it_open(stranger: Phone, offer: auth.Offer) -> None:
    for _ in range(4):
        claim(stranger, code="22222222")
    assert claim(stranger, code=offer.code).status_code == 200


def test_what_a_phone_says_of_itself_is_made_fit_to_be_shown(
    stranger: Phone, offer: auth.Offer
) -> None:
    about = {"plat\x00form": "And\x00roid\u2028"}
    body = {"token": offer.token, "install_id": str(uuid4()), "about": about}
    assert stranger.post("enrol/claim", body).status_code == 200
    assert Enrolment.objects.get().about["platform"] == "Android"


@pytest.mark.parametrize("text", ["\ud800", "\x00", "é" * 20])
def test_a_strange_token_is_a_wrong_one(stranger: Phone, text: str, db: None) -> None:
    assert_problem(claim(stranger, token=text), 422, "invalid")
    assert_problem(claim(stranger, code=text), 422, "invalid")


@pytest.mark.parametrize("ways", [{}, {"token": "a", "code": "b"}])
def test_token_or_code_one_of_the_two(stranger: Phone, ways: dict[str, str]) -> None:
    body = assert_problem(claim(stranger, **ways), 422, "invalid")
    assert body["errors"][0]["remedy"] == "Send either the token or the code."


def test_phones_that_wait_at_once_show_different_numbers(stranger: Phone, mara: User) -> None:
    shown = [
        claim(stranger, token=auth.offer(mara, f"Phone {n}").token).json()["number"]
        for n in range(40)
    ]
    assert len(set(shown)) == 40


def test_the_address_keeps_the_token_from_server_logs(offer: auth.Offer, settings: Any) -> None:
    settings.PUBLIC_ORIGIN = "https://shop.test"
    assert auth.enrol_url(offer.token) == f"https://shop.test/e#{offer.token}"
