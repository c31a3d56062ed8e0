"""What is stored about people: listed whole, given out, taken out; the log holds all the same."""

import json
from datetime import timedelta
from io import StringIO

import pytest
from axes.models import AccessAttempt
from django.apps import apps
from django.contrib.auth.models import User
from django.contrib.sessions.models import Session
from django.core.management import call_command
from django.test import Client
from django.utils import timezone

from frames import forgetting, intake, things
from frames.models import Entry, Feed, Operator
from shopfloor.models import AuditEvent, Enrolment
from shopfloor.office import desk
from shopfloor.privacy import tidying
from shopfloor.privacy.stored import KEPT, NOTHING
from tests.api import cast
from tests.api.entries import note

pytestmark = pytest.mark.django_db
PAGE = "/office/privacy/"
NAME = "Zoë Marchbank"


@pytest.fixture
def mara() -> User:
    cast.shop()
    return cast.person("mara", "manager")


@pytest.fixture
def office(mara: User) -> Client:
    return cast.signed_in(mara)


@pytest.fixture
def operator(mara: User) -> Operator:
    made = things.create("operator", {"name": NAME, "note": "left-handed"}, by="mara")
    return things.change("operator", made.pk, {"note": "left-handed, Tuesdays"}, 1, by="mara")


@pytest.fixture
def phone(operator: Operator) -> cast.Phone:
    """A phone that has written two notes under the operator's name, one about them."""
    phone = cast.enrolled()
    by = {"operator": str(operator.pk), "install_id": str(phone.install_id)}
    phone.push(
        note("Corner creaks", device_seq=1, **by),
        note(f"Ask {NAME} about the bolts", device_seq=2, **by),
    )
    phone.take_snapshot()
    return phone


def whole_book_agrees() -> bool:
    said = StringIO()
    call_command("check_log", stdout=said)
    return "All is well" in said.getvalue()


def test_every_table_is_listed() -> None:
    listed = {name for kept in KEPT for name in kept.models} | set(NOTHING)
    assert listed == {model._meta.label for model in apps.get_models()}


def test_the_page_lists_it_for_the_manager(office: Client, operator: Operator) -> None:
    text = office.get(PAGE).content.decode()
    assert NAME in text
    assert all(kept.who.replace("'", "&#x27;") in text for kept in KEPT)


def test_an_operator_gets_what_is_known(
    office: Client, operator: Operator, phone: cast.Phone
) -> None:
    answer = office.get(f"{PAGE}operators/{operator.pk}/known.json")
    assert "attachment" in answer["Content-Disposition"]
    known = answer.json()
    assert known["operator"]["note"] == "left-handed, Tuesdays"
    assert [version["note"] for version in known["earlier_versions"]] == [
        "left-handed",
        "left-handed, Tuesdays",
    ]
    assert len(known["entries"]) == 2
    assert len(known["mentioned_in"]) == 1


def test_a_forgotten_operator_is_nowhere_but_in_notes(
    office: Client, operator: Operator, phone: cast.Phone
) -> None:
    before = dict(Entry.objects.values_list("pk", "digest"))
    asked = office.get(f"{PAGE}operators/{operator.pk}/forget/").content.decode()
    assert "The name stands in these notes" in asked
    office.post(f"{PAGE}operators/{operator.pk}/forget/", {"version": operator.version})
    operator.refresh_from_db()
    assert (operator.name, operator.note, operator.retired) == ("former operator 1", "", True)

    told = json.dumps([row.body for row in Feed.objects.filter(kind="operator")])
    assert "Zo" not in told
    assert "Tuesdays" not in told
    (change, *_), last = phone.take_changes(), Feed.objects.latest("seq")
    assert change["body"]["name"] == last.body["name"] == "former operator 1"
    items = [item for item in phone.take_snapshot() if item["kind"] == "operator"]
    assert [item["body"]["name"] for item in items] == ["former operator 1"]

    after = Entry.objects.all()
    assert dict(after.values_list("pk", "digest")) == before
    assert all(intake.digest(entry.raw) == entry.digest for entry in after)
    assert {entry.raw["operator"] for entry in after} == {str(operator.pk)}
    assert forgetting.mentions(NAME).count() == 1
    assert whole_book_agrees()


def test_former_operators_are_counted_on(mara: User) -> None:
    for name in ("Ann", "Ben", "Cleo"):
        made = things.create("operator", {"name": name}, by="mara")
        forgetting.operator(made.pk, made.version, "mara")
    names = set(Operator.objects.values_list("name", flat=True))
    assert names == {f"former operator {number}" for number in (1, 2, 3)}


def test_a_change_in_between_is_seen_before_anything_is_forgotten(
    office: Client, operator: Operator
) -> None:
    things.change("operator", operator.pk, {"note": "new"}, operator.version, by="sol")
    office.post(f"{PAGE}operators/{operator.pk}/forget/", {"version": operator.version})
    operator.refresh_from_db()
    assert operator.name == NAME


@pytest.fixture
def sol(mara: User) -> User:
    """An account that has written, printed, changed and failed to sign in."""
    sol = cast.person("sol", "screen room")
    frame = cast.frame(7)
    things.change("frame", frame.pk, {"note": "bent"}, frame.version, by="sol")
    id = desk.new_id(timezone.now())
    receipt = desk.write("note", {"note": "seen by the desk"}, by="sol", id=id, frame=str(frame.pk))
    assert receipt.status == "stored"
    AuditEvent.objects.create(at=timezone.now(), kind="offered", by=sol, by_name="sol")
    Client().post("/office/sign-in/", {"username": "sol", "password": "wrong"})
    assert AccessAttempt.objects.filter(username="sol").exists()
    return sol


def test_an_account_gets_what_is_known(office: Client, sol: User) -> None:
    known = office.get(f"{PAGE}accounts/{sol.pk}/known.json").json()
    assert known["account"]["groups"] == ["screen room"]
    assert [entry["payload"]["note"] for entry in known["entries"]] == ["seen by the desk"]
    assert len(known["let_in_and_out"]) == len(known["failed_sign_ins"]) == 1


def test_a_forgotten_account_is_closed_and_signed_out(office: Client, sol: User) -> None:
    theirs = cast.signed_in(sol)
    assert theirs.get("/office/").status_code == 200
    office.post(f"{PAGE}accounts/{sol.pk}/forget/")
    assert theirs.get("/office/").status_code == 302
    sol.refresh_from_db()
    assert not sol.is_active
    assert not sol.has_usable_password()
    new = f"former account {sol.pk}"
    assert Entry.objects.get(kind="note").device == f"desk:{new}"
    for model in apps.get_models():
        if model is not Session:
            values = [json.dumps(row, default=str) for row in model.objects.values()]
            assert not [row for row in values if '"sol"' in row or ":sol" in row], model
    assert whole_book_agrees()


def test_nobody_forgets_their_own_account(office: Client, mara: User) -> None:
    office.post(f"{PAGE}accounts/{mara.pk}/forget/")
    mara.refresh_from_db()
    assert (mara.username, mara.is_active) == ("mara", True)


def test_what_is_past_its_time_is_removed(mara: User, sol: User, phone: cast.Phone) -> None:
    now = timezone.now()
    cast.signed_in(mara)
    Enrolment.objects.create(
        label="Press 9",
        offered_by=mara,
        offered_at=now,
        expires_at=now,
        token_hash="a",
        code_hash="b",
    )
    kept = (Session, AccessAttempt, Enrolment, AuditEvent)
    assert tidying.tidy(now) == 0
    assert all(model.objects.exists() for model in kept)
    tidying.tidy(now + timedelta(days=31))
    assert [model.objects.exists() for model in kept] == [False, False, False, True]
    tidying.tidy(now + timedelta(days=731))
    assert not AuditEvent.objects.exists()
    assert Entry.objects.count() == 3
