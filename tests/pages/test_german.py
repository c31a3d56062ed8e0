"""The office in German and in inches: nothing English is left, numbers have their comma."""

import re
from collections.abc import Iterator
from datetime import timedelta
from html.parser import HTMLParser
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone, translation

from frames import things
from frames.derived import checking, rounds
from frames.models import Derived, Frame, Shop
from shopfloor.dates.events import events
from tests import english
from tests.pages.floor import Floor

SILENT = {"script", "style"}
SPOKEN = {"title", "placeholder", "aria-label", "alt", "data-label"}
COOKIE = "tautbook_language"


class Reader(HTMLParser):
    """Texts of a page, spoken attributes included."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.texts: list[str] = []
        self.silent = False
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.silent = tag in SILENT
        self.texts += [value or "" for name, value in attrs if name in SPOKEN]

    def handle_data(self, data: str) -> None:
        if not self.silent and data.strip():
            self.texts.append(" ".join(data.split()))


def change(**values: object) -> None:
    shop = Shop.objects.get()
    things.change("shop", shop.pk, values, shop.version, "tests")


@pytest.fixture
def german(mara: Client, floor: Floor) -> Client:
    """Mara, who chose German; the shop counts in inches and speaks English."""
    change(length_unit="in", count_unit="in")
    mara.cookies[COOKIE] = "de"
    return mara


@pytest.fixture
def frame(floor: Floor) -> Frame:
    """A frame with something to tell: read, turned, tweaked, exposed for a job, on press."""
    made = floor.screen(floor.frame(1), 18)
    floor.on_press(made)
    floor.expose(made)
    floor.tweak(made)
    floor.send(
        [floor.reading(made, 20.5, 21.25, hours=1), floor.entry("washed", {"note": ""}, made)]
    )
    return made


def addresses(floor: Floor, frame: Frame) -> Iterator[str]:
    yield "/office/"
    for name in ("frames", "frame-new", "jobs", "job-new", "figures", "screen-room", "stencils"):
        yield reverse(f"office:{name}")
    for name in (
        "away",
        "labels",
        "flagged",
        "log-all",
        "refused",
        "shop",
        "stretching",
        "plans",
        "factors",
    ):
        yield reverse(f"office:{name}")
    for name in ("frame", "frame-edit", "write", "stretch-sheet", "turn-plan", "what-if"):
        yield reverse(f"office:{name}", args=[frame.pk])
    for kind in ("tension_check", "moved", "burst", "bolt_turns", "ok_sheet", "register_tweak"):
        yield reverse("office:write", args=[frame.pk, kind])
    for name in ("job", "job-edit", "job-sheet", "ok-sheet", "set-count", "job-set"):
        yield reverse(f"office:{name}", args=[floor.job.pk])
    yield reverse("office:colour-new", args=[floor.job.pk])
    for slug in ("meshes", "presses", "meters", "operators"):
        yield reverse("office:things", args=[slug])
        yield reverse("office:thing-new", args=[slug])
    yield reverse("office:press", args=[floor.press.pk])
    yield reverse("office:adjuster-new", args=[floor.press.pk])
    for name in ("phones", "phone-add", "outbox", "meter-study"):
        yield reverse(f"office:{name}")
    yield from map(reverse, ("exchange:lists", "dates:page", "privacy:page"))
    yield "/office/password/"


def test_no_page_of_the_office_is_english(german: Client, floor: Floor, frame: Frame) -> None:
    found, seen = [], 0
    for address in addresses(floor, frame):
        answer = german.get(address)
        if answer.status_code != 200:
            continue
        seen += 1
        page = answer.content.decode()
        assert '<html lang="de">' in page
        found += [f"{address}: {text}" for text in english.among(Reader(page).texts)]
    assert seen > 45
    assert found == []


def test_the_check_for_english_finds_it(mara: Client, floor: Floor, frame: Frame) -> None:
    page = mara.get(reverse("office:frame", args=[frame.pk])).content.decode()
    assert {"Write an entry", "Frames"} <= set(english.among(Reader(page).texts))


def test_numbers_lengths_and_days_are_written_as_in_german(
    german: Client, floor: Floor, frame: Frame
) -> None:
    page = german.get(reverse("office:frame", args=[frame.pk])).content.decode()
    assert "39⅜ × 31½ Zoll" in page
    assert re.search(r"(Mo|Di|Mi|Do|Fr|Sa|So) \d+\. \w+\.? 20\d\d, \d\d:\d\d", page)
    table = german.get(reverse("office:things", args=["meters"])).content.decode()
    assert ">½<" in table
    form = german.get(reverse("office:thing-edit", args=["presses", floor.press.pk]))
    assert form.status_code == 200


@pytest.mark.parametrize("typed", ["21,3", "21.3"])
def test_a_comma_and_a_point_are_both_taken_and_the_comma_shown(
    typed: str, german: Client, floor: Floor
) -> None:
    address = reverse("office:thing-edit", args=["meshes", floor.mesh.pk])
    form = german.get(address).context["form"]
    data = {name: form[name].value() or "" for name in form.fields}
    data |= {name: form.fields[name].prepare_value(value) for name, value in data.items()}
    data |= {"target_n_per_cm": typed, "version": floor.mesh.version}
    assert german.post(address, data).status_code == 302
    floor.mesh.refresh_from_db()
    assert floor.mesh.target_n_per_cm == 21.3
    assert 'value="21,3"' in german.get(address).content.decode()


def test_drawings_and_charts_keep_the_point(german: Client, floor: Floor, frame: Frame) -> None:
    clamps = [{"side": "near", "from_mm": 10.5, "to_mm": 233.25}]
    things.change("press", floor.press.pk, {"clamps": clamps}, floor.press.version, "tests")
    page = german.get(reverse("office:press", args=[floor.press.pk])).content.decode()
    drawn = re.findall(r' (?:x|y|width|height|d)="([^"]*)"', page)
    assert drawn
    assert not [value for value in drawn if "," in value]
    page = german.get(reverse("office:frame", args=[frame.pk])).content.decode()
    values = re.findall(r'data-value="([^"]*)"', page)
    assert values
    assert all(re.fullmatch(r"-?[\d.]*", value) for value in values)


def test_an_error_is_told_in_german_and_nothing_typed_is_lost(german: Client, frame: Frame) -> None:
    address = reverse("office:write", args=[frame.pk, "impressions"])
    page = german.post(address, {"id": uuid4(), "mode": "counter", "count": "viele"})
    text = page.content.decode()
    assert "„viele“ ist keine Zahl. So schreiben: 22." in text
    assert 'value="viele"' in text


def test_a_person_chooses_and_takes_the_choice_back(mara: Client, floor: Floor) -> None:
    chosen = mara.post("/language/", {"language": "de", "next": "/office/jobs/"})
    assert (chosen.status_code, chosen["Location"]) == (302, "/office/jobs/")
    assert mara.get("/office/jobs/")["Content-Language"] == "de"
    assert mara.post("/language/", {"language": ""}).status_code == 204
    assert mara.get("/office/jobs/")["Content-Language"] == "en"
    change(language="de")
    assert mara.get("/office/jobs/")["Content-Language"] == "de"
    mara.post("/language/", {"language": "en"})
    assert "Jobs" in Reader(mara.get("/office/jobs/").content.decode()).texts


def test_the_choice_leads_nowhere_else_and_comes_from_our_own_pages(
    client: Client, floor: Floor
) -> None:
    away = client.post("/language/", {"language": "de", "next": "https://elsewhere.test/"})
    assert away.status_code == 204
    foreign = client.post(
        "/language/", {"language": "de"}, headers={"Sec-Fetch-Site": "cross-site"}
    )
    assert foreign.status_code == 403
    assert COOKIE not in foreign.cookies
    assert client.post("/language/", {"language": "tlh"}).status_code == 204
    assert client.get("/language/").status_code == 405


def test_problems_of_the_api_are_told_in_the_language_asked_for(
    client: Client, floor: Floor
) -> None:
    def told(**headers: str) -> tuple[str, str]:
        body = client.get("/api/v1/me", headers={"X-Tautbook": "1", **headers}).json()
        return body["type"], body["title"]

    assert told() == ("/problems/sign-in", "This phone is not enrolled")
    german = ("/problems/sign-in", "Dieses Handy ist nicht angemeldet")
    assert told(**{"Accept-Language": "de"}) == german
    # a browser's own list says nothing about what the phone shows
    assert told(**{"Accept-Language": "de-DE,de;q=0.9,en;q=0.8"})[1] == told()[1]
    change(language="de")
    assert told() == german
    client.cookies[COOKIE] = "en"
    assert told()[1] == "This phone is not enrolled"


def test_the_calendar_speaks_the_language_of_the_shop(client: Client, floor: Floor) -> None:
    things.change(
        "job", floor.job.pk, {"due": timezone.localdate() + timedelta(days=3)}, 1, "tests"
    )
    with translation.override("de"):
        told = [event.summary for event in events(timezone.now(), "https://shop.test/office/")]
    assert told == ["Auftrag 2291 Dial plates"]


def test_sentences_that_everybody_gets_are_in_the_language_of_the_shop(
    german: Client, floor: Floor, frame: Frame
) -> None:
    def reason() -> str:
        rounds.follow_up(None)
        row = Derived.objects.of_kind("forecast").get()
        return row.body["resting_until"]["reason"]

    assert reason().startswith("From then on 24 h cost no more than")
    change(language="de")
    assert reason().startswith("Ab dann kosten 24 h höchstens 0,5 N/cm")
    with translation.override("en"):
        assert list(checking.findings()) == []
