"""How far a phone numbered is its own affair: no other phone can make up gaps there."""

import pytest
from django.utils import timezone

from frames import audit, log
from frames.models import InstallState
from tests.log.making import Maker, Phone

pytestmark = pytest.mark.django_db
OWNER, OTHER, FARTHEST = "phone:1", "phone:2", 2**53 - 1


@pytest.fixture
def maker() -> Maker:
    return Maker(5)


def numbered(maker: Maker, phone: Phone, number: int) -> dict:
    return maker.entry("note", {"note": ""}, phone=phone) | {"device_seq": number}


def send(maker: Maker, phone: Phone, *numbers: int, by: str = OWNER, gone: str = "") -> list:
    """The flags of each entry; every one of them is stored."""
    raws = [numbered(maker, phone, number) for number in numbers]
    receipts = log.append(
        raws, device=by, received_at=timezone.now(), is_gone=lambda phone: phone == gone
    )
    assert {receipt.status for receipt in receipts} == {"stored"}
    return [receipt.flags for receipt in receipts]


def standing(phone: Phone) -> tuple[str, int, int]:
    row = InstallState.objects.get(install_id=phone.install_id)
    assert [found for found in audit.findings() if found.is_trouble] == []
    return row.device, row.highest, row.missing


def test_a_number_far_above_all_others_is_marked_and_leaves_no_gap(maker: Maker) -> None:
    phone = maker.phones[0]
    send(maker, phone, 1, 2)
    assert send(maker, phone, FARTHEST) == [["number_leapt"]]
    assert standing(phone) == (OWNER, 2, 0)
    assert send(maker, phone, 5) == [[]]
    assert standing(phone) == (OWNER, 5, 2)


def test_a_first_number_may_leap_as_well(maker: Maker) -> None:
    phone = maker.phones[0]
    assert send(maker, phone, FARTHEST, 1) == [["number_leapt"], []]
    assert standing(phone) == (OWNER, 1, 0)


def test_another_phone_makes_up_no_gaps(maker: Maker) -> None:
    phone = maker.phones[0]
    send(maker, phone, 1, 2)
    send(maker, phone, 3, 50, FARTHEST, by=OTHER)
    assert standing(phone) == (OWNER, 2, 0)
    send(maker, phone, 4)
    assert standing(phone) == (OWNER, 4, 0), "what the other one stored is there"


def test_a_phone_let_in_anew_goes_on_with_its_numbering(maker: Maker) -> None:
    """The one before was blocked; what was sent before that was known is counted then."""
    phone = maker.phones[0]
    send(maker, phone, 1, 2)
    send(maker, phone, 3, 4, by=OTHER)
    send(maker, phone, 5, 7, by=OTHER, gone=OWNER)
    assert standing(phone) == (OTHER, 7, 1)
    send(maker, phone, 6, by=OTHER)
    assert standing(phone) == (OTHER, 7, 0)


def test_an_outbox_brought_in_counts_for_its_phone(maker: Maker) -> None:
    phone = maker.phones[0]
    send(maker, phone, 1, 2)
    send(maker, phone, 3, 5, by="import:mara")
    assert standing(phone) == (OWNER, 5, 1)
    send(maker, phone, 4)
    assert standing(phone) == (OWNER, 5, 0)


def test_a_phone_takes_over_what_was_brought_in_before_it_wrote(maker: Maker) -> None:
    phone = maker.phones[0]
    send(maker, phone, 1, by="import:mara")
    send(maker, phone, 2)
    assert standing(phone) == (OWNER, 2, 0)


def test_a_desk_numbers_on_whatever_a_phone_claims(maker: Maker) -> None:
    desk = maker.phones[0]
    send(maker, desk, 2, FARTHEST, by=OTHER)
    send(maker, desk, 1, by="desk:mara")
    assert standing(desk) == ("desk:mara", 2, 0)
    send(maker, desk, 9, by=OTHER)
    assert standing(desk) == ("desk:mara", 2, 0)


def test_a_count_that_misses_its_own_entries_is_trouble(maker: Maker) -> None:
    phone = maker.phones[0]
    send(maker, phone, 1, 2, 3)
    InstallState.objects.update(highest=2, stored=2)
    assert [found.text for found in audit.numbering()] == [
        "the count of its entries is not the number of its entries"
    ]
