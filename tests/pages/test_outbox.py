"""A manager brings in the file that a phone saved of its outbox; twice is harmless."""

import json
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import HttpResponse
from django.test import Client
from django.utils import timezone

from frames import log
from frames.models import Entry, Refused, ScreenState
from shopfloor.models import Device
from shopfloor.office import outbox_file
from tests.api.entries import INSTALL, check, entry, mesh_fitted, note
from tests.pages.floor import Floor
from tests.pages.reading import errors, words

pytestmark = pytest.mark.django_db
OUTBOX = "/office/phones/outbox/"
UNKNOWN = "3f0c1f6e-0000-4000-8000-000000000000"


def saved(entries: list[Any], **changed: Any) -> bytes:
    """The file as a phone writes it."""
    content = {
        "tautbook_outbox": 1,
        "install_id": INSTALL,
        "app": "0.1.0",
        "exported_at": "2026-11-25T09:42:07.123Z",
        "states": {one["id"]: "held" for one in entries if isinstance(one, dict) and "id" in one},
        "entries": entries,
    }
    return json.dumps(content | changed, indent=1).encode()


def bring(client: Client, content: bytes, name: str = "tautbook-outbox.json") -> HttpResponse:
    return client.post(OUTBOX, {"file": SimpleUploadedFile(name, content)})


def counts(response: HttpResponse) -> dict[str, int]:
    return dict(response.context["counts"])


def test_everything_a_blocked_phone_held_comes_in(mara: Client, floor: Floor) -> None:
    frame = floor.frame(417)
    fitted = mesh_fitted(str(frame.pk), operator=str(floor.operator.pk))
    response = bring(mara, saved([fitted, check(fitted, 22), note(frame=str(frame.pk))]))
    assert counts(response) == {"stored": 3, "refused": 0, "duplicate": 0}
    said = words(response)
    assert "3 stored" in said
    assert "stored F0417-N Checked bare: 22 N/cm (1 spot)" in said
    assert ScreenState.objects.get().low == 22
    assert set(Entry.objects.values_list("device", flat=True)) == {"import:mara"}
    assert "Ines imported by mara" in words(mara.get(f"/office/frames/{frame.pk}/"))


@pytest.mark.promise(11)
def test_the_same_file_twice_does_no_harm(mara: Client, floor: Floor) -> None:
    content = saved([note(frame=str(floor.frame(1).pk)), note(frame=str(floor.frame(2).pk))])
    bring(mara, content)
    before = list(Entry.objects.order_by("seq").values())
    response = bring(mara, content)
    assert counts(response) == {"stored": 0, "refused": 0, "duplicate": 2}
    assert "2 here already" in words(response)
    assert list(Entry.objects.order_by("seq").values()) == before


def test_what_the_phone_had_sent_after_all_is_here_already(mara: Client, floor: Floor) -> None:
    sent, held = note(frame=str(floor.frame(1).pk)), note(frame=str(floor.frame(2).pk))
    log.append([sent], device="phone:tests", received_at=timezone.now())
    assert counts(bring(mara, saved([sent, held]))) == {"stored": 1, "refused": 0, "duplicate": 1}


def test_one_bad_entry_never_stops_the_others_and_stands_first(mara: Client, floor: Floor) -> None:
    frame = str(floor.frame(1).pk)
    wrong = entry("bolt_state", {"bolt": "E9", "state": "seized"}, frame=frame)
    response = bring(mara, saved([note(frame=frame), wrong, 7, note(frame=frame)]))
    assert counts(response) == {"stored": 2, "refused": 2, "duplicate": 0}
    assert [row["receipt"].status for row in response.context["rows"]] == [
        "refused",
        "refused",
        "stored",
        "stored",
    ]
    said = words(response)
    assert "Bolt “E9”: Name the bolt by side and number, for example A1." in said
    assert "Not an entry" in said
    assert Refused.objects.count() == 2
    bring(mara, saved([wrong, 7]))
    assert Refused.objects.count() == 2


def test_a_flag_is_said_beside_its_entry(mara: Client, floor: Floor) -> None:
    log.append([note(frame=str(floor.frame(1).pk))], device="phone:x", received_at=timezone.now())
    response = bring(mara, saved([note(frame=UNKNOWN)]))
    assert "No frame with this id is in the book." in words(response)


def test_a_long_file_goes_in_pieces_and_is_summed_up(
    mara: Client, floor: Floor, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("shopfloor.office.outbox.SHOWN", 3)
    frame = str(floor.frame(1).pk)
    count = outbox_file.AT_ONCE + 5
    response = bring(mara, saved([note(frame=frame) for _ in range(count)]))
    assert counts(response)["stored"] == count == Entry.objects.count()
    assert f"and {count - 3} more." in words(response)


def test_a_gap_closes_when_the_file_is_brought_in(mara: Client, floor: Floor) -> None:
    install, frame = "0193a6c0-0000-7000-8000-00000000cafe", str(floor.frame(1).pk)
    made = [note(frame=frame, install_id=install, device_seq=n) for n in (1, 2, 3)]
    phone = Device.objects.create(
        label="Dryer phone",
        approved_at=timezone.now(),
        last_contact_at=timezone.now(),
        last_seen={"install_id": install},
    )
    log.append([made[0], made[2]], device=phone.name_in_log, received_at=timezone.now())
    gap = "1 entry is missing in its numbering. Bring in its outbox as a file."
    assert gap in words(mara.get("/office/phones/"))
    bring(mara, saved(made))
    assert gap not in words(mara.get("/office/phones/"))


def test_the_file_of_another_shop_is_not_taken(mara: Client, floor: Floor) -> None:
    """Nothing in it is known here: no frame, no operator, no meter, and not the phone itself."""
    meter = {"kind": "meter", "id": UNKNOWN}
    strange = [
        note(frame=UNKNOWN, operator=UNKNOWN),
        entry("meter_zeroed", {"zero_n_per_cm": 0.5, "note": ""}, subject=meter),
        entry("note", {"note": ""}, subject=7),
        note(frame=["x"]),
    ]
    said = errors(bring(mara, saved(strange)))["file"][0]
    assert "It seems to come from another shop: nothing in it is known here." in said
    assert not Entry.objects.exists()
    assert not Refused.objects.exists()
    # One thing that is known makes it ours, be it the operator alone.
    ours = [*strange[:2], note(frame=UNKNOWN, operator=str(floor.operator.pk))]
    assert counts(bring(mara, saved(ours)))["stored"] == 3


def test_a_long_file_comes_in_whole(mara: Client, floor: Floor) -> None:
    """A month of a phone that never got through, some of it damaged on the way."""
    frame = str(floor.frame(1).pk)
    whole = [note(frame=frame) for _ in range(1500)]
    response = bring(mara, saved([*whole, {"id": whole[0]["id"]}, None]))
    assert counts(response) == {"stored": 1500, "refused": 2, "duplicate": 0}
    assert counts(bring(mara, saved(whole))) == {"stored": 0, "refused": 0, "duplicate": 1500}


AGAIN = "Choose the file that the phone made: on the phone, Outbox, Export to file."
NEWER = "A newer app made this file. Update Tautbook here, then bring it in."
EMPTY = "Nothing waits in it: everything on that phone had been sent."


@pytest.mark.parametrize(
    ("content", "remedy"),
    [
        (b"", AGAIN),
        (b"\x89PNG\r\n", AGAIN),
        (b"not json", AGAIN),
        (b"[1, 2]", AGAIN),
        (saved([note(), note()])[:-40], AGAIN),
        (saved([note()]).replace(b"entries", b"\xff\xfe"), AGAIN),
        (b"[" * 100_000, AGAIN),
        (b'{"entries": []}', AGAIN),
        (saved([note()], tautbook_outbox=True), AGAIN),
        (saved([note()], tautbook_outbox=2), NEWER),
        (b'{"tautbook_outbox": 1, "entries": {"0": {}}}', AGAIN),
        (saved([]), EMPTY),
        (saved([None] * 20_001), "Ask for help: it has more than 20,000 entries."),
    ],
    ids=range(13),
)
def test_a_wrong_file_says_what_to_do(
    content: bytes, remedy: str, mara: Client, floor: Floor
) -> None:
    response = bring(mara, content, "holiday.json")
    assert errors(response) == {"file": [f"“holiday.json”: {remedy}"]}
    assert not Entry.objects.exists()
    assert not Refused.objects.exists()


def test_a_file_that_is_too_large_is_not_even_read(
    mara: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(outbox_file, "MOST_BYTES", 1 << 20)
    response = bring(mara, b" " * ((1 << 20) + 1), "big.json")
    assert errors(response)["file"] == [
        "“big.json”: Split it or ask for help: it has more than 1 MB."
    ]


def test_a_mark_at_the_front_of_the_file_is_no_reason(mara: Client, floor: Floor) -> None:
    content = b"\xef\xbb\xbf" + saved([note(frame=str(floor.frame(1).pk))])
    assert counts(bring(mara, content))["stored"] == 1


def test_no_file_at_all(mara: Client) -> None:
    response = mara.post(OUTBOX, {})
    assert errors(response)["file"] == ["Nothing chosen. Choose the file that the phone made."]


def test_only_the_manager_brings_files_in(sol: Client) -> None:
    assert bring(sol, saved([note()])).status_code == 403
    assert not Entry.objects.exists()
