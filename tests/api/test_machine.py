"""A machine that does to the API whatever may be done to it, in any order, and looks after each.

Phones are enrolled, approved, retired, blocked and taken back; they push what is new, repeated,
reordered, damaged or too large, pull, undo and take snapshots; the database goes back to an older
copy. `HYPOTHESIS_PROFILE=explore python -m pytest tests/api/test_machine.py` looks further.
"""

import shutil
import tempfile
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings as django_settings
from django.contrib.auth.models import User
from django.db import connection
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from frames import feed
from frames.folding import fold
from frames.models import STATES, Entry, Feed, Refused
from shopfloor import auth, position
from shopfloor.models import Device, Enrolment
from tests.api import copies
from tests.api.cast import person
from tests.api.entries import check, mesh_fitted, note, uuid7, void
from tests.api.error_shape import assert_problem
from tests.api.pocket import Pocket

pytestmark = pytest.mark.django_db(transaction=True)
FRAMES = [uuid7(), uuid7()]
KINDS = ("mesh", "check", "note")
MOST_PHONES = 4
DAMAGED = {
    "kind": lambda: note() | {"kind": ""},
    "id": lambda: note() | {"id": "1"},
    "null": lambda: None,
    "text": lambda: "words",
    "long": lambda: note("x" * 20_000),
}
phones = st.integers(0, MOST_PHONES - 1)


class Books(RuleBasedStateMachine):
    """`written` is all that any phone ever showed as saved."""

    pristine: Path

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp())
        django_settings.TAUTBOOK_DATA = self.folder
        copies.put_back(self.pristine)
        position._noted.clear()
        self.pockets: list[Pocket] = []
        self.written: dict[str, dict[str, Any]] = {}
        self.restored = False

    @initialize()
    def open(self) -> None:
        self.manager = User.objects.get(username="mara")
        self.enrol()
        self.copy()

    # Phones come and go.

    @precondition(lambda self: len(self.pockets) < MOST_PHONES)
    @rule()
    def enrol(self) -> None:
        """Invited, claimed, approved and collected, as phone and manager do it."""
        offer = auth.offer(self.manager, f"Press {len(self.pockets)}")
        one = Pocket()
        claim = {"token": offer.token, "install_id": str(one.install_id)}
        told = one.post("enrol/claim", claim).json()
        assert one.post("enrol/poll", {"claim": told["claim"]}).json()["status"] == "waiting"
        auth.approve(Enrolment.objects.waiting().get(), told["number"], self.manager)
        assert one.post("enrol/poll", {"claim": told["claim"]}).json()["status"] == "approved"
        self.pockets.append(one)

    def one(self, number: int) -> Pocket:
        return self.pockets[number % len(self.pockets)]

    def device(self, pocket: Pocket) -> Device:
        return Device.objects.get(label=f"Press {self.pockets.index(pocket)}")

    @rule(who=phones, verdict=st.sampled_from(["retire", "block", "reactivate", "reactivate"]))
    def judge(self, who: int, verdict: str) -> None:
        getattr(auth, verdict)(self.device(self.one(who)), self.manager)

    # Phones write and send.

    @rule(
        who=phones, frame=st.sampled_from(FRAMES), kind=st.sampled_from(["mesh", "check", "note"])
    )
    def write(self, who: int, frame: str, kind: str) -> None:
        fitted = [one for one in self.written.values() if one["kind"] == "mesh_fitted"]
        if kind == "check" and fitted:
            entry = check(fitted[-1], 20 + len(self.written) % 7)
        else:
            entry = mesh_fitted(frame) if kind == "mesh" else note(frame=frame)
        self.save(who, entry)

    @precondition(lambda self: self.written)
    @rule(who=phones, which=st.integers(0, 1000))
    def undo(self, who: int, which: int) -> None:
        kinds = ("tension_check", "note", "mesh_fitted")
        known = [one for one in self.written.values() if one["kind"] in kinds]
        if known:
            self.save(who, void(known[which % len(known)]))

    def save(self, who: int, entry: dict[str, Any]) -> None:
        self.written[entry["id"]] = entry
        self.one(who).write(entry)

    @rule(who=phones, most=st.integers(1, 5), lost=st.booleans())
    def push(self, who: int, most: int, lost: bool) -> None:
        pocket = self.one(who)
        if self.device(pocket).status == "blocked":
            held = list(pocket.outbox)
            refusal = pocket.post("sync/push", pocket.envelope(held[:most]))
            assert_problem(refusal, 403, "blocked")
            assert pocket.outbox == held
        else:
            pocket.send(most, answer_lost=lost)

    @rule(who=phones, backwards=st.booleans())
    def push_again(self, who: int, backwards: bool) -> None:
        """What was acknowledged, in another order and each twice in one batch."""
        pocket = self.one(who)
        if self.device(pocket).status == "blocked" or self.restored:
            return
        batch = [one for one in pocket.kept[-4:] for _ in range(2)]
        count = Entry.objects.count()
        receipts = pocket.push(*reversed(batch) if backwards else batch)["receipts"]
        assert {one["status"] for one in receipts} <= {"duplicate"}
        assert Entry.objects.count() == count

    @rule(who=phones, how=st.sampled_from(sorted(DAMAGED)))
    def push_damaged(self, who: int, how: str) -> None:
        """One bad entry beside a good one: it is refused alone, and a copy is kept."""
        pocket = self.one(who)
        if self.device(pocket).status == "blocked":
            return
        good = note(frame=FRAMES[0])
        self.written[good["id"]] = good
        bad: Any = {"kind": note() | {"kind": ""}, "id": note() | {"id": "1"}, "null": None}.get(
            how
        )
        bad = note("x" * 20_000) if how == "long" else "words" if how == "text" else bad
        before = Refused.objects.count()
        answer = pocket.push(bad, good)
        receipts = answer["receipts"]
        pocket.kept.append(good)
        if answer["resend"]:
            pocket.send_again()
        assert [one["status"] for one in receipts] == ["refused", "stored"]
        assert Refused.objects.count() in (before, before + 1), "the same text is kept once"
        assert receipts[0]["problem"]["remedy"]

    @rule(who=phones, many=st.booleans())
    def push_too_much(self, who: int, many: bool) -> None:
        pocket = self.one(who)
        if self.device(pocket).status == "blocked":
            return
        count = Entry.objects.count()
        batch = [note() for _ in range(101)] if many else [note("y" * 9000) for _ in range(30)]
        assert_problem(pocket.post("sync/push", pocket.envelope(batch)), 413, "too-large")
        assert Entry.objects.count() == count

    # Phones read.

    @rule(who=phones, limit=st.integers(1, 6))
    def pull(self, who: int, limit: int) -> None:
        pocket = self.one(who)
        status = self.device(pocket).status
        if status == "active":
            pocket.pull(limit)
        else:
            assert_problem(pocket.get("sync/snapshot"), 403, status)

    @rule(who=phones)
    def snapshot(self, who: int) -> None:
        pocket = self.one(who)
        if self.device(pocket).status == "active":
            pocket._start_over()
            assert pocket.head == {"seq": feed.head().seq, "id": feed.head().id}

    # The database goes back.

    @rule()
    def copy(self) -> None:
        (self.folder / "copy").unlink(missing_ok=True)
        copies.take(self.folder / "copy")
        self.beside = feed.head()
        self.at_copy = len(self.pockets)

    @rule(file_beside=st.sampled_from(["kept", "lost", "put back too"]))
    def restore(self, file_beside: str) -> None:
        """Phones that the copy does not know are enrolled anew; they keep what they hold."""
        copies.put_back(self.folder / "copy")
        if file_beside == "lost":
            position.path().unlink(missing_ok=True)
        elif file_beside == "put back too":
            position._write(self.beside)
        position._noted.clear()
        position.check()
        for pocket in self.pockets[self.at_copy :]:
            self.let_in_again(pocket)
        self.restored = True

    def let_in_again(self, pocket: Pocket) -> None:
        place = self.pockets.index(pocket)
        rest, self.pockets = self.pockets, self.pockets[:place]
        self.enrol()
        pocket.client = self.pockets.pop().client
        self.pockets = rest

    # What holds after whatever was done.

    @invariant()
    def nothing_is_lost(self) -> None:
        """What was written is in the log, or on a phone that will send it."""
        log = {str(id) for id in Entry.objects.values_list("pk", flat=True)}
        held = {one["id"] for pocket in self.pockets for one in (*pocket.outbox, *pocket.kept)}
        assert self.written.keys() <= log | held
        assert log <= self.written.keys()

    @invariant()
    def the_feed_has_no_gap_and_tells_each_entry(self) -> None:
        rows = list(Feed.objects.order_by("seq").values_list("seq", "type", "object_id"))
        assert [seq for seq, _, _ in rows] == list(range(1, feed.head().seq + 1))
        told = {str(id) for _, type, id in rows if type == "entry"}
        assert told == {str(id) for id in Entry.objects.values_list("pk", flat=True)}

    @invariant()
    def state_is_a_replay_of_the_log(self) -> None:
        kept = {
            f"{kind}s": {str(row.pk): row.body for row in model.objects.all()}
            for kind, model in STATES.items()
        }
        assert kept == fold(Entry.objects.order_by("seq").values_list("raw", flat=True))

    def teardown(self) -> None:
        """At rest everybody holds everything."""
        try:
            if self.pockets:
                self.come_to_rest()
        finally:
            shutil.rmtree(self.folder, ignore_errors=True)

    def come_to_rest(self) -> None:
        for pocket in self.pockets:
            auth.reactivate(self.device(pocket), self.manager)
        for _ in range(4):
            for pocket in self.pockets:
                while pocket.outbox:
                    pocket.send()
                pocket.send()
                pocket.pull()
        log = {str(id) for id in Entry.objects.values_list("pk", flat=True)}
        assert log == self.written.keys()
        self.state_is_a_replay_of_the_log()
        frames = {str(row.pk): row.body for row in STATES["frame"].objects.all()}
        for pocket in self.pockets:
            assert {i: b for (kind, i), b in pocket.states.items() if kind == "frame"} == frames


@pytest.mark.promise(2, 4, 5, 6, 7)
def test_whatever_is_done_nothing_is_lost_or_doubled(tmp_path: Path) -> None:
    if connection.vendor != "sqlite":
        pytest.skip("copies a file; PostgreSQL is restored by its own tools")
    person("mara", "manager")
    Books.pristine = copies.take(tmp_path / "pristine")
    profile = settings()
    run_state_machine_as_test(
        Books,
        settings=settings(
            deadline=None,
            derandomize=profile.derandomize,
            max_examples=max(10, profile.max_examples // 4),
            stateful_step_count=25,
            suppress_health_check=list(HealthCheck),
        ),
    )
