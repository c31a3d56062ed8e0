"""Taking a list: nothing before the button, good rows only, once only, however large."""

from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from frames import things
from frames.models import Colour, Feed, Frame, Job, Mesh
from shopfloor.exchange.models import Line, Upload
from shopfloor.exchange.taking import CHUNK
from tests.exchange.paper import FRAME, JOB, MESH, paper
from tests.pages.floor import Floor
from tests.pages.reading import words

pytestmark = pytest.mark.django_db
LISTS = "/office/shop/lists/"


def brought(client: Client, slug: str, text: str | bytes) -> Upload:
    """Choose a file on the page and look at it."""
    data = text.encode() if isinstance(text, str) else text
    file = SimpleUploadedFile(f"{slug}.csv", data)
    response = client.post(LISTS, {"slug": slug, "file": file})
    assert response.status_code == 302, response.content.decode()
    upload = Upload.objects.latest("at")
    assert response["Location"] == f"{LISTS}in/{upload.pk}/"
    return upload


def look(client: Client, upload: Upload) -> str:
    return words(client.get(f"{LISTS}in/{upload.pk}/"))


def press_take(client: Client, upload: Upload) -> dict[str, Any]:
    address = f"{LISTS}in/{upload.pk}/take/"
    return client.post(address, headers={"Accept": "application/json"}).json()


def verdicts(upload: Upload) -> list[str]:
    return list(upload.lines.order_by("row").values_list("verdict", flat=True))


BAD = FRAME | {"number": "418", "second name": "", "profile": "round"}


def test_nothing_is_written_before_the_button(sol: Client, floor: Floor) -> None:
    before = Feed.objects.count()
    upload = brought(sol, "frames", paper(FRAME, BAD))
    said = look(sol, upload)
    assert "1 new, 1 to mend" in said
    assert "Nothing is in the book yet." in said
    assert "Row 3, profile “round”: Write one of: plain U, ribbed U, boxed U." in said
    assert (Frame.objects.count(), Feed.objects.count()) == (0, before)


def test_good_rows_are_taken_and_bad_ones_kept_to_be_mended(sol: Client, floor: Floor) -> None:
    upload = brought(sol, "frames", paper(FRAME, BAD))
    assert press_take(sol, upload) == {"done": 1, "of": 1, "finished": True}
    frame = Frame.objects.get()
    assert (frame.code, frame.second_name, frame.changed_by) == ("F0417-N", "K417", "desk:sol")
    assert "All 1 are through. 1 stay to be mended." in look(sol, upload)


def test_rows_to_mend_come_back_as_a_file_that_can_be_taken_in(sol: Client, floor: Floor) -> None:
    upload = brought(sol, "frames", paper(FRAME, BAD | {"second name": "=K418"}))
    press_take(sol, upload)
    answer = sol.get(f"{LISTS}in/{upload.pk}/kept.csv")
    kept = b"".join(answer.streaming_content).decode("utf-8-sig")
    heading, row = kept.splitlines()
    assert heading.split(";") == ["what to mend", *FRAME]
    assert row.startswith("profile: Write one of: plain U, ribbed U, boxed U.;418;'=K418;round;")
    again = brought(sol, "frames", kept.replace("round", "boxed U", 1))
    press_take(sol, again)
    assert Frame.objects.get(number=418).second_name == "=K418"


def test_the_same_file_again_is_there_already(sol: Client, floor: Floor) -> None:
    files = {"frames": paper(FRAME), "meshes": paper(MESH | {"name": "x"}), "jobs": paper(JOB)}
    for slug, text in files.items():
        press_take(sol, brought(sol, slug, text))
    counted = [model.objects.count() for model in (Frame, Mesh, Job, Colour, Feed)]
    for slug, text in files.items():
        upload = brought(sol, slug, text)
        assert verdicts(upload) == ["same"]
        assert "There is nothing to take from this file." in look(sol, upload)
        press_take(sol, upload)
    assert [m.objects.count() for m in (Frame, Mesh, Job, Colour, Feed)] == counted


def test_a_changed_row_is_proposed_as_a_change_and_shown(sol: Client, floor: Floor) -> None:
    press_take(sol, brought(sol, "frames", paper(FRAME)))
    upload = brought(sol, "frames", paper(FRAME | {"pitch [mm]": "1,25", "head": ""}))
    assert verdicts(upload) == ["change"]
    assert "pitch: 1.5 → 1.25" in look(sol, upload)
    press_take(sol, upload)
    frame = Frame.objects.get()
    assert (frame.pitch_mm, frame.head, frame.version) == (1.25, "hex", 2)


def test_a_job_comes_with_its_colours(sol: Client, floor: Floor) -> None:
    red = dict.fromkeys(JOB, "") | {"job": "7001", "colour": "red"}
    press_take(sol, brought(sol, "jobs", paper(JOB | {"job": "7001"}, red)))
    colours = Job.objects.get(number="7001").colours.all()
    assert [(c.position, c.name, c.mesh and c.mesh.name) for c in colours] == [
        (1, "blue", MESH["name"]),
        (2, "red", None),
    ]
    upload = brought(sol, "jobs", paper(JOB | {"job": "7001", "colour": "navy"}))
    assert "colour 1: colour: blue → navy" in look(sol, upload)
    press_take(sol, upload)
    assert [c.name for c in colours.all()] == ["navy", "red"]


def test_frames_without_a_number_get_what_the_others_leave_free(sol: Client, floor: Floor) -> None:
    plain = FRAME | {"second name": ""}
    rows = [plain | {"number": number} for number in ("", "1", "2", "")]
    press_take(sol, brought(sol, "frames", paper(*rows)))
    assert list(Frame.objects.values_list("number", flat=True)) == [1, 2, 3, 4]


def test_what_changed_since_the_preview_is_kept_back(sol: Client, floor: Floor) -> None:
    press_take(sol, brought(sol, "frames", paper(FRAME)))
    upload = brought(
        sol, "frames", paper(FRAME | {"head": "socket"}, FRAME | {"number": "9", "second name": ""})
    )
    frame = Frame.objects.get()
    things.change("frame", frame.pk, {"note": "bent"}, frame.version, by="desk:mara")
    floor.frame(9)
    assert press_take(sol, upload) == {"done": 2, "of": 2, "finished": True}
    assert verdicts(upload) == ["left", "left"]
    said = look(sol, upload)
    assert "Somebody changed it meanwhile. Choose the file again." in said
    assert "Choose another number: a frame has this one." in said
    assert Frame.objects.get(number=417).head == "hex"


def test_a_failing_chunk_leaves_nothing_half_done(
    sol: Client, floor: Floor, monkeypatch: pytest.MonkeyPatch
) -> None:
    rows = [FRAME | {"number": str(n), "second name": ""} for n in range(1, 6)]
    upload = brought(sol, "frames", paper(*rows))
    real, calls = things.create, []

    def breaks_down(*args: Any, **more: Any) -> Any:
        calls.append(args)
        if len(calls) == 4:
            raise OSError("the disk is full")
        return real(*args, **more)

    monkeypatch.setattr(things, "create", breaks_down)
    with pytest.raises(OSError, match="disk"):
        press_take(sol, upload)
    assert not Frame.objects.exists()
    monkeypatch.undo()
    assert press_take(sol, upload)["finished"]
    assert Frame.objects.count() == 5


def test_many_rows_come_in_by_chunks_with_progress(sol: Client, floor: Floor) -> None:
    rows = [FRAME | {"number": str(n), "second name": f"K{n}"} for n in range(1, 1001)]
    upload = brought(sol, "frames", paper(*rows))
    assert Line.objects.filter(upload=upload, verdict="new").count() == 1000
    told = [press_take(sol, upload)]
    while not told[-1]["finished"]:
        told.append(press_take(sol, upload))
    assert [one["done"] for one in told] == list(range(CHUNK, 1001, CHUNK))
    assert {one["of"] for one in told} == {1000}
    assert Frame.objects.count() == 1000
    seqs = Feed.objects.filter(kind="frame").values_list("seq", flat=True)
    assert max(seqs) - min(seqs) == 999
    assert verdicts(brought(sol, "frames", paper(*rows))) == ["same"] * 1000


def test_the_page_goes_on_without_scripts(sol: Client, floor: Floor) -> None:
    rows = [FRAME | {"number": str(n), "second name": ""} for n in range(1, CHUNK + 2)]
    upload = brought(sol, "frames", paper(*rows))
    address = f"{LISTS}in/{upload.pk}/take/"
    assert f"{CHUNK} of {CHUNK + 1} taken so far." in words(sol.post(address, follow=True))
    assert "All 251 are through." in words(sol.post(address, follow=True))


def test_a_file_can_be_put_away(sol: Client, floor: Floor) -> None:
    upload = brought(sol, "frames", paper(FRAME))
    assert "frames.csv is put away." in words(sol.post(f"{LISTS}in/{upload.pk}/drop/", follow=True))
    assert not Line.objects.exists()
