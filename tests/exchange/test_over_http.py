"""Lists fetched from the real server, piece by piece, arrive whole."""

import csv
import io
import re
import zipfile
from urllib.request import HTTPCookieProcessor, OpenerDirector, Request, build_opener

import pytest

from tests.shop_process import ShopProcess

PASSWORD = "a long enough phrase 418"
FURNISH = f"""
from django.contrib.auth.models import Group, User
from django.utils import timezone
from frames.models import Operator
user = User.objects.create_user("manager", password="{PASSWORD}")
user.groups.add(Group.objects.get_or_create(name="manager")[0])
now = timezone.now()
when = dict(created_at=now, changed_at=now)
named = [Operator(name="Person %d" % i, seq=i + 1, **when) for i in range(3000)]
Operator.objects.bulk_create(named)
"""
LISTS = "/office/shop/lists/"


@pytest.fixture
def desk(server: ShopProcess) -> OpenerDirector:
    """A manager's browser, without the pages: signed in, with its cookies."""
    server.python(FURNISH)
    browser = build_opener(HTTPCookieProcessor())
    address = f"{server.origin}/office/sign-in/"
    form = browser.open(address, timeout=30).read().decode()
    token = re.search(r'name="csrfmiddlewaretoken" value="(\w+)"', form)[1]
    told = f"csrfmiddlewaretoken={token}&username=manager&password={PASSWORD.replace(' ', '+')}"
    browser.open(Request(address, told.encode(), {"Referer": address}), timeout=30).close()
    return browser


def test_a_long_list_arrives_whole(desk: OpenerDirector, server: ShopProcess) -> None:
    with desk.open(f"{server.origin}{LISTS}out/operators/list.csv", timeout=60) as answer:
        assert answer.headers["Content-Type"].startswith("text/csv")
        assert "attachment" in answer.headers["Content-Disposition"]
        rows = list(csv.DictReader(io.TextIOWrapper(answer, "utf-8-sig")))
    assert {row["name"] for row in rows} == {f"Person {i}" for i in range(3000)}
    assert len(rows) == 3000


def test_everything_arrives_as_one_archive(desk: OpenerDirector, server: ShopProcess) -> None:
    page = desk.open(f"{server.origin}{LISTS}", timeout=30).read().decode()
    with desk.open(f"{server.origin}{LISTS}out/all.zip", timeout=60) as answer:
        archive = zipfile.ZipFile(io.BytesIO(answer.read()))
    assert archive.testzip() is None
    lists = set(re.findall(r"out/(\w+)/list\.csv", page))
    assert lists <= {name.split(".")[0].split("/")[-1] for name in archive.namelist()}
    assert len(lists) > 5
