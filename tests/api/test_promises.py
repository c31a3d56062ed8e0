"""Whatever happens on the way, at quiet everyone holds the same and nothing is lost.

Random stories of three phones and a server that is set back to older copies now and then.
"""

import tempfile
from pathlib import Path
from typing import Any

from django.conf import settings as django_settings
from django.db import connection
from hypothesis import HealthCheck, Phase, given, note, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TransactionTestCase

from frames import state_version
from frames.models import Entry, FrameState, ScreenState
from shopfloor import position
from shopfloor.api.snapshot import held_by_phones
from tests.api import copies, entries
from tests.api.cast import enrolled
from tests.api.entries import check, correction, mesh_fitted, uuid7, void
from tests.api.pocket import Pocket

PHONES = 3
FRAMES = [uuid7(), uuid7()]

phones = st.integers(0, PHONES - 1)
writings = st.tuples(
    st.just("write"),
    phones,
    st.sampled_from(["mesh", "check", "note", "void", "correction"]),
    st.sampled_from(FRAMES),
    st.integers(0, 59),
)
sendings = st.tuples(st.just("send"), phones, st.integers(1, 4), st.booleans())
pullings = st.tuples(st.just("pull"), phones, st.integers(1, 5))
copyings = st.tuples(st.just("copy"))
restores = st.tuples(st.just("restore"), st.booleans())
stories = st.lists(
    st.one_of(writings, writings, sendings, sendings, pullings, copyings, restores),
    min_size=5,
    max_size=40,
)


class Shop:
    """The server, its phones, and everything that was ever written."""

    def __init__(self, folder: Path) -> None:
        self.copy = folder / "copy.sqlite3"
        self.pockets = [self._pocket(number) for number in range(PHONES)]
        self.written: list[dict[str, Any]] = []
        self.do_copy()

    def _pocket(self, number: int) -> Pocket:
        return Pocket(client=enrolled(f"Press {number}").client)

    def do_write(self, who: int, kind: str, frame: str, minute: int) -> None:
        when = {"occurred_at": f"2026-03-02T08:{minute:02d}:00.000+00:00"}
        meshes = [entry for entry in self.written if entry["kind"] == "mesh_fitted"]
        checks = [entry for entry in self.written if entry["kind"] == "tension_check"]
        if kind == "check" and meshes:
            entry = check(meshes[minute % len(meshes)], 20 + minute / 10, **when)
        elif kind == "void" and checks:
            entry = void(checks[minute % len(checks)])
        elif kind == "correction" and checks and meshes:
            target, mesh = checks[minute % len(checks)], meshes[minute % len(meshes)]
            place = {"frame": mesh["frame"], "screen": mesh["id"]}
            entry = correction(target, **when, **(place if minute % 2 else {}))
        elif kind == "note":
            entry = entries.note(frame=frame, **when)
        else:
            entry = mesh_fitted(frame, **when)
        self.written.append(entry)
        self.pockets[who].write(entry)

    def do_send(self, who: int, most: int, lost: bool) -> None:
        self.pockets[who].send(most, answer_lost=lost)

    def do_pull(self, who: int, limit: int) -> None:
        self.pockets[who].pull(limit)

    def do_copy(self) -> None:
        if connection.vendor == "sqlite":
            self.copy.unlink(missing_ok=True)
            copies.take(self.copy)

    def do_restore(self, file_beside: bool) -> None:
        if connection.vendor == "sqlite":
            copies.put_back(self.copy)
            if not file_beside:
                position.path().unlink(missing_ok=True)
            position._noted.clear()
            position.check()

    def come_to_rest(self) -> None:
        """Everyone sends and pulls until nothing moves any more."""
        for _ in range(4):
            for pocket in self.pockets:
                while pocket.outbox:
                    pocket.send()
                pocket.send()
                pocket.pull()


class Promises(TransactionTestCase):
    @given(story=stories)
    @settings(
        deadline=None,
        max_examples=40,
        phases=[Phase.explicit, Phase.reuse, Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    def test_nothing_is_lost_and_all_agree(self, story: list[tuple]) -> None:
        note(f"{story = }")  # beside schemathesis, arguments are not told
        with tempfile.TemporaryDirectory() as folder:
            django_settings.TAUTBOOK_DATA = Path(folder)
            shop = Shop(Path(folder))
            for step, *how in story:
                getattr(shop, f"do_{step}")(*how)
            shop.come_to_rest()
            self.all_is_stored(shop)
            self.all_agree(shop)

    def all_is_stored(self, shop: Shop) -> None:
        stored = {str(pk) for pk in Entry.objects.values_list("pk", flat=True)}
        assert stored == {entry["id"] for entry in shop.written}
        assert not any(pocket.outbox for pocket in shop.pockets)

    def all_agree(self, shop: Shop) -> None:
        assert state_version.rebuild() == 0
        needed = {str(pk) for pk in held_by_phones().values_list("pk", flat=True)}
        frames = {str(row.frame): row.body for row in FrameState.objects.all()}
        live = {str(row.screen): row.body for row in ScreenState.objects.live()}
        for pocket in shop.pockets:
            assert needed <= set(pocket.entries)
            seen = pocket.states.items()
            assert {id: body for (kind, id), body in seen if kind == "frame"} == frames
            screens = {id: body for (kind, id), body in seen if kind == "screen"}
            assert {id: body for id, body in screens.items() if not body["ended"]} == live
