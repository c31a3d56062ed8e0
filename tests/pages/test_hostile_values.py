"""No page of the office fails over a value, whatever stands in its address or in its form.

Every address is opened with values that nobody means, all fields at once and one by one, and
answers with a page or with what is wrong; every request is taken back, so each meets the same shop.
"""

import re
from collections.abc import Iterator
from itertools import product
from typing import Any
from urllib.parse import quote_plus
from uuid import uuid4

import pytest
from django.contrib.auth.models import User
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection, transaction
from django.test import Client
from django.utils import timezone

from frames import derived, log
from frames.models import Entry, Refused
from shopfloor.exchange.models import Upload
from shopfloor.models import DateFeed, Device, Enrolment
from tests.api.test_walk import pages
from tests.exchange.paper import FRAME, paper
from tests.pages.floor import PHONE, Floor
from tests.pages.reading import fields
from tests.pages.test_plans import planned, turned

pytestmark = pytest.mark.django_db
FORM = "application/x-www-form-urlencoded"
# as they travel: a lone surrogate and NUL have no other way in
VALUES = {
    "hundreds of digits": "9" * 400,
    "thousands of digits": "9" * 5000,
    "many digits after the point": "0." + "3" * 400,
    "beyond a float": "1e400",
    "no number": "nan",
    "below every number": "-inf",
    "nothing below": "1/0",
    "minus nothing": "-0",
    "a number below nothing": "-3",
    "a number beyond any column": str(2**63),
    "superscript": "%C2%B2",
    "digits of another script": "%D9%A3",
    "halves": "%C2%BD" * 1100,
    "spaces": "A1" + "%20" * 3000 + "x",
    "brackets": "%5B%28" * 1000,
    "NUL": "%00",
    "NUL inside": "A%001",
    "a lone surrogate": "%ED%A0%80",
    "bytes that are no text": "%FF%FE",
    "half a picture": "%F0%9F%96%A8%EF%B8%8F%E2%80%AE",
    "a very long word": "x" * 60_000,
    "very many words": "x+" * 3000,
    "lines": "%0D%0A" * 3000 + "x",
    "an id of nothing": str(uuid4()),
    "a pattern": "%25_%5C%27%22%3B--",
    "a date without end": "99999-12-31T23:59",
    "the first day": "0001-01-01T00:00",
}
# what a database of its own may take otherwise; the rest is the same page on any
FOR_A_DATABASE = (
    *("hundreds of digits", "a number beyond any column", "NUL inside", "a lone surrogate"),
    *("bytes that are no text", "a very long word", "a pattern", "the first day"),
)
SHARP = ("hundreds of digits", "superscript", "NUL inside")
# one for each sort of field that the office writes into the log
WRITTEN = ["note", "moved", "mesh_fitted", "inspected", "impressions", "burst"]
ASKED = (
    *("search", "sort", "page", "shown", "retired", "like", "mesh", "days", "frames", "frame"),
    *("stock", "start", "width", "height", "dpi", "bolts", "near", "face", "condition", "size"),
    *("press", "stencil", "place", "plan", "settled", "meter", "screen", "job", "colour", "spots"),
    *("kind", "at", "purpose", "override", "version", "next", "month", "from", "to", "id"),
)
SENT = ("version", "id", "token", "code", "mark", "was", "number", "language", "back", "space")
CONVERTER = re.compile(r"<(?:(\w+):)?(\w+)>")
METHOD = re.compile(r'<form[^>]* method="(get|post)"')
NOUNS = ["meshes", "presses", "meters", "operators"]


@pytest.fixture
def known(floor: Floor, mara: Client) -> dict[str, list[str]]:
    """For each part of an address what stands there in this shop."""
    frame = floor.frame(417)
    fitted = floor.fit(frame)
    floor.check(frame, 20, 21, 20.5, 19.5, 21)
    plan = planned(floor, frame, 22, hours=1.5)
    turned(floor, frame, 24, plan["id"], hours=1)
    derived.follow_up(None)
    floor.on_press(floor.screen(floor.frame(420), 22, 22, 22, 22, 22))
    log.append([{"id": "broken"}], device=PHONE, received_at=timezone.now())
    phone = Device.objects.create(label="Press 2", approved_at=timezone.now())
    mara.post("/office/phones/add/", {"label": "Press 3"})
    mara.post("/office/dates/", {"label": "Calendar"})
    file = SimpleUploadedFile("frames.csv", paper(FRAME | {"number": "7"}).encode())
    mara.post("/office/shop/lists/", {"slug": "frames", "file": file})
    ids = {
        "frame_id": frame.pk,
        "screen_id": fitted["id"],
        "plan_id": plan["id"],
        "mesh_id": floor.mesh.pk,
        "job_id": floor.job.pk,
        "colour_id": floor.colour.pk,
        "press_id": floor.press.pk,
        "meter_id": floor.meter.pk,
        "refused_id": Refused.objects.get().pk,
        "device_id": phone.pk,
        "enrolment_id": Enrolment.objects.get().pk,
        "feed_id": DateFeed.objects.get().pk,
        "upload_id": Upload.objects.get().pk,
        "id": floor.operator.pk,
        "account": User.objects.create_user("tilda").pk,
        "place": 0,
        "side": "A",
    }
    corrected = Entry.objects.filter(frame_id=frame.pk, kind__in=("tension_check", "bolt_turns"))
    known = {name: [str(one)] for name, one in ids.items()}
    return known | {"entry_id": [str(entry.pk) for entry in corrected]}


def addresses(pattern: str, known: dict[str, list[str]]) -> Iterator[str]:
    """Every way to fill an address; kinds and nouns are walked through."""
    names = [name for _, name in CONVERTER.findall(pattern)]
    words = dict(known)
    if pattern.startswith("office/retire/"):
        words |= {"kind": ["operator"]}
    elif "write" in pattern:
        words |= {"kind": WRITTEN}
    if "accounts" in pattern:
        words |= {"id": words["account"]}
    words["slug"] = ["frames", "meshes", "jobs"] if "lists" in pattern else NOUNS
    if "<slug:slug>/<uuid:id>" in pattern:
        words["slug"] = ["operators"]
    for filled in product(*(words[name] for name in names)):
        address = "/" + pattern
        for word in filled:
            address = CONVERTER.sub(word, address, count=1)
        yield address


def office() -> list[str]:
    return [whole for whole, _ in pages() if whole.startswith("office/")]


@pytest.mark.parametrize("pattern", office())
def test_no_value_makes_a_page_fail(pattern: str, known: dict, mara: Client) -> None:
    mara.raise_request_exception = False
    failed, asked = [], 0
    for address in addresses(pattern, known):
        for how, path, query, body in requests(address, mara):
            asked += 1
            if (status := answer(mara, path, query, body)) >= 500:
                failed.append((path, how, status))
    assert asked > len(values())
    assert not failed


def requests(address: str, client: Client) -> Iterator[tuple[str, str, str, str | None]]:
    """What is tried, path, query, and the body where it is sent."""
    held, ways = form_of(client, address)
    names = list(dict.fromkeys([*held, *ASKED]))
    sent = list(dict.fromkeys([*held, *SENT]))
    for how, value in values():
        yield how, address, "&".join(f"{name}={value}" for name in names), None
        yield how, address, "", "&".join(f"{name}={value}" for name in sent)
    for name, how in product(held, SHARP):
        others = [f"{quote_plus(n)}={quote_plus(v)}" for n, v in held.items() if n != name]
        told = "&".join([*others, f"{quote_plus(name)}={VALUES[how]}"])
        if "get" in ways:
            yield f"{name}: {how}", address, told, None
        if "post" in ways:
            yield f"{name}: {how}", address, "", told


def values() -> list[tuple[str, str]]:
    on_sqlite = connection.vendor == "sqlite"
    return [(how, VALUES[how]) for how in (VALUES if on_sqlite else FOR_A_DATABASE)]


def form_of(client: Client, address: str) -> tuple[dict[str, str], set[str]]:
    """What the fields of the page hold, and how its forms send them."""
    response = client.get(address)
    assert response.status_code < 500, address
    if not response.get("Content-Type", "").startswith("text/html"):
        return {}, set()
    matter = response.content.decode().partition("<main")[2]
    return fields(response), set(METHOD.findall(matter))


def answer(client: Client, path: str, query: str, body: str | None) -> int:
    """The status; whatever the request wrote is taken back."""
    with transaction.atomic():
        told: dict[str, Any] = {"QUERY_STRING": query}
        method = "GET" if body is None else "POST"
        response = client.generic(method, path, body or "", content_type=FORM, **told)
        if response.streaming:
            b"".join(response.streaming_content)
        transaction.set_rollback(True)
    return response.status_code
