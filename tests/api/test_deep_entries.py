"""One entry that is nested too deep is refused alone, with words, and its copy kept whole."""

import json

import pytest

from frames.models import Refused
from tests.api.cast import Phone
from tests.api.entries import entry, nested, note

pytestmark = pytest.mark.django_db


def sent(phone: Phone, *entries: dict) -> list[str]:
    return [receipt["status"] for receipt in phone.push(*entries)["receipts"]]


@pytest.mark.parametrize("depth", [65, 300, 700])
def test_one_entry_nested_too_deep_is_refused_alone(depth: int, phone: Phone) -> None:
    deep = [entry("hologram", {"q": nested(depth)}), entry("note", {"note": nested(depth)})]
    good = [note() for _ in range(3)]
    assert sent(phone, *good, *deep) == ["stored"] * 3 + ["refused"] * 2
    kept = Refused.objects.order_by("pk")
    assert [json.loads(row.raw) for row in kept] == deep
    assert "more than 64 deep" in kept[0].reason["detail"]


def test_at_no_depth_are_the_others_lost(phone: Phone) -> None:
    """Beyond what can be read at all the phone is told so, and sends in smaller parts."""
    read = set()
    for depth in range(760, 1000):
        body = json.dumps(phone.envelope([note(), entry("hologram", {"q": "DEEP"})]))
        deep = body.replace('"DEEP"', "[" * depth + "]" * depth)
        response = phone.post("sync/push", deep.encode())
        read.add(response.status_code)
        assert response.status_code == 400 or [
            receipt["status"] for receipt in response.json()["receipts"]
        ] == ["stored", "refused"], depth
    assert read == {200, 400}


def test_as_deep_as_a_form_may_ever_be_is_stored(phone: Phone) -> None:
    # the entry itself and its payload are two levels
    assert sent(phone, entry("hologram", {"q": nested(62)})) == ["stored"]
