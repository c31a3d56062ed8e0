"""A working day on the real server, and what its log says of people: nothing."""

import http.client
import http.cookiejar
import json
import logging
import re
import sqlite3
import urllib.error
import urllib.parse
import urllib.request
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from shopfloor import logs
from tests.conftest import ServerMaker
from tests.faults.conftest import PhoneMaker
from tests.faults.shop import Json
from tests.shop_process import DATABASE, ShopProcess

ACCOUNT = """
from django.contrib.auth.models import Group, User
user = User.objects.create_user("quillmara", password="correct horse of mine")
user.groups.add(Group.objects.get(name="manager"))
from frames import things
things.create("operator", {"name": "Oswin Tarrant"}, by="quillmara")
"""
PRIVATE = ["quillmara", "Oswin", "Tarrant", "correct horse", "wrong horse", "zebra-note", "zebra",
           "searched-for", "SECRETLABEL", "no-such-person"]  # fmt: skip


class Desk:
    """A browser at a desk, as far as a log can see it."""

    def __init__(self, origin: str) -> None:
        self.origin, self.jar = origin, http.cookiejar.CookieJar()
        self.opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(self.jar))

    def ask(self, path: str, **form: str) -> tuple[int, str]:
        data = urllib.parse.urlencode(form).encode() if form else None
        try:
            with self.opener.open(self.origin + path, data, timeout=30) as answer:
                return answer.status, answer.read().decode()
        except urllib.error.HTTPError as error:
            return error.code, ""

    def sign_in(self, password: str) -> tuple[int, str]:
        page = self.ask("/office/sign-in/")[1]
        token = re.search(r'csrfmiddlewaretoken" value="(\w+)"', page)
        assert token
        return self.ask("/office/sign-in/", username="quillmara", password=password,
                        csrfmiddlewaretoken=token[1])  # fmt: skip


@pytest.fixture
def shop(one_shop: ShopProcess, monkeypatch: pytest.MonkeyPatch) -> Iterator[ShopProcess]:
    monkeypatch.setenv("LOG_FORMAT", "json")
    one_shop.python(ACCOUNT)
    yield one_shop.start()
    one_shop.kill()


def spoil(data: Path) -> None:
    """A row that the pages cannot show, so that one of them fails in earnest."""
    with closing(sqlite3.connect(data / DATABASE)) as link, link:
        link.execute("""update shopfloor_device set last_seen = '"zebra"'""")


def test_a_day_leaves_no_names_notes_or_cookies_in_the_log(
    shop: ShopProcess, phones: PhoneMaker, book: Json
) -> None:
    desk = Desk(shop.origin)
    assert 'name="password"' in desk.sign_in("wrong horse")[1]
    assert desk.sign_in("correct horse of mine")[0] == 200
    assert "quillmara" in desk.ask("/office/")[1]
    assert "Oswin" in desk.ask("/office/shop/operators/")[1]
    desk.ask("/office/frames/?q=searched-for")
    assert desk.ask("/F/SECRETLABEL")[0] == 404
    assert desk.ask("/office/no-such-person/")[0] == 404
    phone = phones()
    phone.save(frame=book["frames"][5], payload={"note": "zebra-note"})
    phone.save(kind="", payload={"note": "zebra-note"})
    phone.network("good")
    phone.kick()
    assert phone.states() == ["refused"]
    spoil(shop.data)
    assert desk.ask("/office/phones/")[0] == 500

    text = shop.log()
    lines = [json.loads(line) for line in text.splitlines() if line.startswith("{")]
    assert lines
    cookies = [cookie.value for cookie in desk.jar if cookie.value]
    assert len(cookies) >= 2
    secrets = [*PRIVATE, *cookies, *book["cookies"], *book["frames"]]
    assert [word for word in secrets if word in text] == []
    _tells_enough(lines)


def test_another_host_is_told_seldom_and_without_what_was_asked_for(
    open_server: ServerMaker, bare_data: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("LOG_FORMAT", "json")
    shop = open_server(bare_data)
    for n in range(5):
        link = http.client.HTTPConnection("localhost", shop.port, timeout=60)
        link.request("GET", "/office/", headers={"Host": f"SECRETHOST{n}" * 50})
        assert link.getresponse().status == 400
    text = shop.log()
    assert "SECRETHOST" not in text
    lines = [json.loads(line) for line in text.splitlines() if line.startswith("{")]
    (told,) = [line for line in lines if line["logger"] == "django.security.DisallowedHost"]
    assert (told["message"], told["error"]) == ("a request was refused", "DisallowedHost")


def test_a_refusal_with_arguments_keeps_its_template() -> None:
    args = ("token", "/F/SECRET")
    record = logging.LogRecord("django.security.csrf", 30, "", 0, "Forbidden (%s): %s", args, None)
    assert logs.told(record)["message"] == "Forbidden (%s): %s"


def _tells_enough(lines: list[Json]) -> None:
    """It is of use all the same: what was asked, what became of it, where it broke."""
    answered = {
        (line["method"], line["route"], line["status"]) for line in lines if "route" in line
    }
    assert {("POST", "office/sign-in/", 200), ("POST", "office/sign-in/", 302)} <= answered
    assert ("POST", "api/v1/sync/push", 200) in answered
    assert ("GET", "office/phones/", 500) in answered
    assert any(route == "(no such address)" and status == 404 for _, route, status in answered)
    (broke,) = [line for line in lines if line.get("error")]
    assert broke["error"] == "AttributeError"
    assert any("office/phone" in place for place in broke["where"])
