"""What people do: phones blocked, retired, evicted, clocks set wrong, files carried by hand."""

import json
import urllib.request
from datetime import UTC, datetime
from typing import Any

import pytest

from frames.times import moment
from tests.faults.conftest import PhoneMaker
from tests.faults.phones import Phone
from tests.faults.shop import Json, ids, rows, stored
from tests.shop_process import ShopProcess

DAY_MS = 86_400_000


def judge(shop: ShopProcess, phone: Phone, verdict: str) -> None:
    """The manager blocks, retires or takes back a phone."""
    number = phone.name.split()[-1]
    shop.python(
        "from shopfloor import auth\n"
        "from shopfloor.models import Device\n"
        f"auth.{verdict}(Device.objects.get(label='Phone {number}'), by=None)\n"
    )


def last_seen(shop: ShopProcess, phone: Phone) -> Json:
    label = f"Phone {phone.name.split()[-1]}"
    found = rows(shop.data, f"select last_seen from shopfloor_device where label = '{label}'")
    return json.loads(found[0][0])


@pytest.mark.promise(9)
def test_f24_the_sign_in_expires_in_the_middle(phones: PhoneMaker, shop: ShopProcess) -> None:
    phone = phones()
    entries = [phone.save() for _ in range(150)]
    phone.network("good", plan=["good", "down"])
    phone.kick()
    assert len(phone.states()) == 50
    phone.ask("cookie", value="tautbook_device=expired")
    phone.kick()
    assert set(phone.states()) == {"held: sign in"}
    assert phone.status()["held_reason"] == "sign in"
    entries.append(phone.save())
    phone.ask("cookie", value=phone.cookie)
    phone.kick()
    assert phone.states() == []
    assert sorted(ids(stored(shop, phone))) == sorted(ids(entries))


def test_f25_a_blocked_phone_keeps_its_outbox_and_offers_it(
    phones: PhoneMaker, shop: ShopProcess
) -> None:
    phone = phones()
    entry = phone.save()
    judge(shop, phone, "block")
    phone.network("good")
    phone.kick()
    assert phone.states() == ["held: sign in"]
    assert phone.status()["held_reason"] == "blocked"
    assert "outbox" in phone.status()["why"]
    assert phone.ask("exported", name="one")["entries"] == [entry]
    judge(shop, phone, "reactivate")
    phone.kick()
    assert phone.states() == []
    assert stored(shop, phone) == [entry]


def test_f25_a_retired_phone_may_still_send(phones: PhoneMaker, shop: ShopProcess) -> None:
    phone = phones()
    entry = phone.save()
    judge(shop, phone, "retire")
    phone.network("good")
    phone.kick()
    assert phone.states() == []
    assert stored(shop, phone) == [entry]
    assert phone.status()["held_reason"] == "retired"
    judge(shop, phone, "reactivate")


def test_f34_a_lost_phone_is_shut_out_and_what_it_held_is_known_to_be_missing(
    phones: PhoneMaker, shop: ShopProcess
) -> None:
    """What never left it is gone with it; nobody else is disturbed, and the office is told."""
    lost, other = phones(), phones()
    lost.network("good")
    sent = lost.save()
    lost.network("down")
    unsent = lost.save()
    other.network("good")
    kept = other.save()
    judge(shop, lost, "block")
    # Whoever found it has its cookie, its storage and a good network.
    lost.network("good")
    lost.kick()
    assert lost.status()["held_reason"] == "blocked"
    assert lost.states() == ["held: sign in"]
    assert stored(shop, lost) == [sent]
    assert last_seen(shop, lost)["install_id"] == lost.install["id"]
    other.kick()
    assert stored(shop, other) == [kept]
    # It turns up again: the manager takes it back and nothing is missing.
    judge(shop, lost, "reactivate")
    lost.kick()
    assert stored(shop, lost) == [sent, unsent]


def push_by_hand(shop: ShopProcess, cookie: str, entries: list[Json]) -> list[Json]:
    """What a manager's import does with the entries of a file; the receipts."""
    body = json.dumps({"protocol": 1, "entries": entries}).encode()
    headers = {"Content-Type": "application/json", "X-Tautbook": "1", "Cookie": cookie}
    request = urllib.request.Request(f"{shop.origin}/api/v1/sync/push", body, headers)
    with urllib.request.urlopen(request, timeout=30) as answer:
        return json.load(answer)["receipts"]


@pytest.mark.promise(11)
def test_an_exported_outbox_is_imported_harmlessly_twice(
    phones: PhoneMaker, shop: ShopProcess
) -> None:
    lost, other = phones(), phones()
    entries = [lost.save() for _ in range(3)]
    file = lost.ask("exported", name="one")
    for expected in ("stored", "duplicate"):
        receipts = push_by_hand(shop, other.cookie, file["entries"])
        assert [receipt["status"] for receipt in receipts] == [expected] * 3
    # The phone turns up again and sends what it holds.
    lost.network("good")
    lost.kick()
    assert lost.states() == []
    assert stored(shop, lost) == entries


@pytest.mark.promise(10)
def test_the_office_sees_what_each_phone_still_holds(phones: PhoneMaker, shop: ShopProcess) -> None:
    phone = phones()
    phone.save()
    phone.network("good", plan=["down"])
    phone.save(kind="")
    phone.kick()
    phone.save()
    phone.kick()
    seen = last_seen(shop, phone)
    assert seen["install_id"] == phone.install["id"]
    assert seen["refused"] == 1
    assert phone.status()["refused"] == 1
    assert phone.status()["unsent"] == 0


def corrected(shop: ShopProcess, entry: Json) -> tuple[datetime, datetime]:
    """Corrected time and time of arrival, as the server keeps them."""
    query = "select corrected_at, received_at from frames_entry where id = '{}'"
    found = rows(shop.data, query.format(entry["id"].replace("-", "")))
    one, other = (datetime.fromisoformat(text).replace(tzinfo=UTC) for text in found[0])
    return one, other


@pytest.mark.promise(12)
def test_f11_a_clock_wrong_by_a_day_is_noted_and_put_right(
    phones: PhoneMaker, shop: ShopProcess
) -> None:
    now = int(datetime.now(UTC).timestamp() * 1000)
    phone = phones(start=now + DAY_MS)
    phone.network("good")
    phone.kick()
    entry = phone.save()
    assert abs(entry["clock_offset_ms"] + DAY_MS) < DAY_MS // 24
    assert entry["clock_offset_age_ms"] is not None
    happened, arrived = corrected(shop, entry)
    assert abs((happened - arrived).total_seconds()) < 3600
    # Set back by two days while the offset is remembered: sent all the same, its age not known.
    phone.ask("put", ms=-2 * DAY_MS)
    later = phone.save()
    assert later["clock_offset_age_ms"] is None
    # That exchange showed the jump, so what comes after is right again.
    third = phone.save()
    assert abs(third["clock_offset_ms"] - DAY_MS) < DAY_MS // 24
    assert phone.states() == []
    assert stored(shop, phone) == [entry, later, third]


def test_f11_a_phone_that_never_met_the_server_sends_what_its_own_clock_said(
    phones: PhoneMaker, shop: ShopProcess
) -> None:
    start = int(datetime(2001, 2, 3, tzinfo=UTC).timestamp() * 1000)
    phone = phones(start=start)
    entry = phone.save()
    assert (entry["clock_offset_ms"], entry["clock_offset_age_ms"]) == (0, None)
    phone.network("good")
    phone.kick()
    assert phone.states() == []
    assert corrected(shop, entry)[0] == moment(start)


def test_f16_evicted_storage_shows_as_a_new_numbering_of_the_same_phone(
    phones: PhoneMaker, shop: ShopProcess
) -> None:
    phone = phones()
    phone.network("good")
    first = phone.save()
    old = phone.install["id"]
    phone.network("down")
    phone.save()
    phone.ask("evict")
    phone.network("good")
    new = phone.open()["id"]
    phone.save()
    known: list[Any] = rows(
        shop.data, "select install_id, device, highest from frames_installstate"
    )
    by_install = {install: (device, highest) for install, device, highest in known}
    before, after = by_install[old.replace("-", "")], by_install[new.replace("-", "")]
    assert before[0] == after[0]
    assert (before[1], after[1]) == (1, 1)
    assert first["install_id"] == old
    assert last_seen(shop, phone)["install_id"] == new


def test_f26_the_operator_of_an_entry_is_the_one_who_saved_it(
    phones: PhoneMaker, shop: ShopProcess, book: Json
) -> None:
    phone = phones()
    one, other = book["meshes"][0], book["frames"][0]
    phone.save(operator=one)
    phone.save(operator=other)
    phone.network("good")
    phone.kick()
    assert [entry["operator"] for entry in stored(shop, phone)] == [one, other]
