"""After an upgrade that knows more, state says what phones make of the same log."""

from io import StringIO
from typing import Any

import pytest
from django.core.management import call_command

from frames import entries as vocabulary
from frames import feed, flags, state, state_version
from frames.models import Counter, Entry, FrameState, ScreenState
from tests.log.making import Frame as MadeFrame
from tests.log.making import Maker
from tests.log.shop import furnished
from tests.log.test_state_rows import push
from tests.source_tree import ROOT
from tests.test_imports import imports

pytestmark = pytest.mark.django_db
# What they say goes to people; tables change by migrations.
NO_RULES = {"frames.errors", "frames.wording", "frames.models", "frames.feed"}


class Shop:
    """One screen, and a server that can be of an earlier version for a while."""

    def __init__(self, patch: pytest.MonkeyPatch) -> None:
        self.patch, self.maker = patch, Maker(3)
        self.frame: MadeFrame = self.maker.frames[0]
        self.frame.id = str(furnished()["frame"].id)
        push(self.maker.fit(self.frame))

    def on(self, kind: str, payload: dict[str, Any]) -> dict[str, Any]:
        screen = self.frame.screen
        return self.maker.entry(kind, payload, frame=self.frame.id, screen=screen)

    def push_to_earlier(self, kind: str, *raws: dict[str, Any]) -> None:
        """Push to a server that does not know `kind`, and upgrade it."""
        older = {k: shape for k, shape in vocabulary.KINDS.items() if k != kind}
        with self.patch.context() as then:
            for reader in (vocabulary, flags):
                then.setattr(reader, "KINDS", older)
            push(*raws)
        Counter.objects.update(folded_by="an earlier version")


@pytest.fixture
def shop(monkeypatch: pytest.MonkeyPatch) -> Shop:
    return Shop(monkeypatch)


def fold_if_due() -> str:
    out = StringIO()
    call_command("rebuild_state", if_due=True, stdout=out)
    return out.getvalue()


def check_log() -> str:
    out = StringIO()
    call_command("check_log", stdout=out)
    return out.getvalue()


def test_what_an_earlier_version_kept_unfolded_is_folded_and_told(shop: Shop) -> None:
    shop.push_to_earlier("coated", shop.on("coated", {"note": ""}))
    assert ScreenState.objects.get().stencil == "bare"
    seen = feed.head().seq
    said = fold_if_due()
    assert "New rules" in said
    assert "2 changes told" in said
    assert ScreenState.objects.get().stencil == "coated"
    told = {change.kind: change.body for change in feed.after(seen, 10)}
    assert told["screen"]["stencil"] == "coated"
    assert told["frame"]["last"]["kind"] == "coated"
    assert "All is well" in check_log()


def test_where_these_rules_folded_last_one_question_is_asked(
    shop: Shop, django_assert_num_queries: Any
) -> None:
    fold_if_due()
    FrameState.objects.update(rack="by hand")
    with django_assert_num_queries(1):
        assert fold_if_due() == ""
    assert state_version.rebuild(if_due=True) == 0
    assert FrameState.objects.get().rack == "by hand"


def test_an_empty_book_notes_the_rules_and_says_nothing() -> None:
    assert not state_version.is_current()
    assert fold_if_due() == ""
    assert state_version.is_current()


def test_a_void_of_a_newer_form_is_filed_under_what_it_voids(shop: Shop) -> None:
    coated = shop.on("coated", {"note": ""})
    push(coated)
    shop.push_to_earlier("void", shop.maker.void(coated))
    assert ScreenState.objects.get().stencil == "coated"
    fold_if_due()
    assert ScreenState.objects.get().stencil == "bare"
    assert str(Entry.objects.get(kind="void").target_id) == coated["id"]
    assert "All is well" in check_log()


@pytest.mark.parametrize("kind", ["exposed", "void"])
def test_what_does_not_read_as_what_it_says_it_is_stays_out_of_state(kind: str, shop: Shop) -> None:
    """Nobody looked inside when it came; it must stop neither the start nor later entries."""
    late = shop.on("coated", {"note": ""})
    shop.push_to_earlier(kind, shop.on(kind, {"rubbish": [1]}))
    fold_if_due()
    assert state_version.is_current()
    assert ScreenState.objects.get().stencil == "bare"
    assert "counts for nothing" in check_log()
    push(late)
    assert ScreenState.objects.get().stencil == "coated"


def test_a_rebuild_that_fails_leaves_state_to_be_folded_again(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop.push_to_earlier("coated", shop.on("coated", {"note": ""}))
    with monkeypatch.context() as broken:
        broken.setattr(state, "refold_meter", None)
        push(shop.maker.zeroed())
        with pytest.raises(TypeError):
            state_version.rebuild()
    assert not state_version.is_current()
    assert ScreenState.objects.get().stencil == "bare"


def test_every_module_that_decides_what_the_log_says_is_in_the_fingerprint() -> None:
    found, edge = set(), {"frames.state_version"}
    while edge:
        module = edge.pop()
        found.add(module)
        if module not in NO_RULES:
            path = ROOT.joinpath(*module.split(".")).with_suffix(".py")
            edge |= {n for n in imports(path) if n.startswith("frames.")} - found
    assert found - NO_RULES - {"frames.state_version"} == set(state_version.CODE)
