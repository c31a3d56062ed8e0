"""The paper card of a frame: what the office knows of it, put into words for A5."""

from collections.abc import Iterator
from datetime import datetime
from typing import Any
from uuid import UUID

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_safe

from frames.entries import ACTS, corrected_ms
from frames.folding import effective
from frames.models import Entry, Frame, ScreenState
from frames.times import moment as instant
from frames.wording import say as phrase
from shopfloor.auth import who_may
from shopfloor.labels.card import LAST_CHECKS, LAST_TWEAKS, Card, CheckLine, TweakLine, card_pdf
from shopfloor.labels.card_view import Shown
from shopfloor.office import say, tension
from shopfloor.office.belonging import entries_of, stands_on
from shopfloor.office.frame import bolt_counts, register_turns, stencil_text
from shopfloor.office.frame_form import HEADS, LOCKS, PROFILES
from shopfloor.office.shop import the_shop
from shopfloor.office.standing import Standing, standings
from shopfloor.office.words import word

STEPS = {8: _("one flat (1/6 turn)"), 6: _("an eighth of a turn"), 3: _("a sixteenth of a turn")}
LOOK_BACK = 20  # tweaks read, so that voided ones do not leave the table short


@require_safe
@who_may("screen room", "manager")
def paper_card(request: HttpRequest, frame_id: UUID) -> HttpResponse:
    """Both sides of the card as PDF."""
    found, now = get_object_or_404(Frame, pk=frame_id), timezone.now()
    [stand] = standings([found], the_shop(), now)
    made = card_pdf([card_of(stand, now)], settings.PUBLIC_ORIGIN)
    answer = HttpResponse(made, content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="{found.code}-card.pdf"'
    return answer


def card_of(stand: Standing, now: datetime) -> Card:
    turned = register_turns(stand)
    word_now, reason = stand.condition["word"], stand.condition["reason"]
    return Card(
        frame=stand.frame,
        printed=on_paper(now),
        facts=list(_facts(stand)),
        condition=f"{phrase(word_now).capitalize()}. {reason}" if word_now else reason,
        shown=Shown(_readings(stand), _signed(turned, stand), stand.state.get("bolts", {})),
        caption=_caption(stand, turned),
        turned_in=say.turns(turned, stand.frame.step_48ths),
        checks=_checks(stand.row) if stand.row else [],
        tweaks=_tweaks(stand) if stand.row else [],
    )


def on_paper(when: datetime) -> str:
    """Paper grows old: a day and a time, never an age."""
    return date_format(timezone.localtime(when), phrase("j M Y, H:i"))


def _facts(stand: Standing) -> Iterator[tuple[str, str]]:
    """The frame in the left column, its screen in the right one."""
    frame, screen = stand.frame, stand.screen
    rods = f", {frame.rods}" if frame.rods else ""
    yield phrase("Inside A × B"), stand.size
    yield phrase("Profile"), dict(PROFILES)[frame.profile]
    yield phrase("Lock"), f"{dict(LOCKS)[frame.lock]}{rods}"
    yield phrase("Bolts"), bolt_counts(frame)
    yield (
        phrase("Pitch, head"),
        phrase("{0} mm a turn, {1}", say.plain(frame.pitch_mm), dict(HEADS)[frame.head]),
    )
    yield phrase("Step"), STEPS[frame.step_48ths]
    yield phrase("Place"), stand.place or phrase("not said")
    if screen:
        target, slack = screen["target_n_per_cm"], screen["tolerance_n_per_cm"]
        yield phrase("Mesh"), stand.mesh
        yield phrase("Target"), phrase("{0} ± {1} N/cm", say.number(target), say.number(slack))
        yield phrase("Fitted"), on_paper(stand.row.fitted_at)
        yield phrase("Warp"), word("warp", screen["warp"])
        yield phrase("Stencil"), stencil_text(screen)
        yield phrase("Impressions"), say.count(screen["impressions"])
    if frame.note:
        yield phrase("Note"), frame.note


def _readings(stand: Standing) -> list[tuple[float, float, str]]:
    spots = stand.check["spots"] if stand.check else []
    return [(spot["u"], spot["v"], say.number(_mean(spot))) for spot in spots]


def _mean(spot: dict[str, Any]) -> float:
    both = [spot["along_a_n_per_cm"], spot["across_a_n_per_cm"]]
    known = [reading for reading in both if reading is not None]
    return sum(known) / len(known)


def _signed(turned: dict[str, int], stand: Standing) -> dict[str, str]:
    """Turns in the head's steps; what is no whole step, in 48ths."""
    step = stand.frame.step_48ths
    told = {}
    for bolt, turn in turned.items():
        sign = "+" if turn > 0 else "−"
        count = f"{abs(turn) // step}" if turn % step == 0 else f"{abs(turn)}/48"
        told[bolt] = f"{sign}{count}"
    return told


def _caption(stand: Standing, turned: dict[str, int]) -> list[str]:
    how, said = phrase("Squeegee side up, side A near you. Large dot: punch mark at A1."), []
    if stand.check and stand.check_at:
        said.append(
            phrase(
                "Readings in N/cm: {0}, {1}.",
                word("stencil", stand.check["stencil"]),
                on_paper(stand.check_at),
            )
        )
    if turned:
        many = say.unit(stand.frame.step_48ths)
        said.append(phrase("+ tightened, − let off, in {0}.", many))
    said += [f"× {bolt} {phrase(state)}." for bolt, state in stand.state.get("bolts", {}).items()]
    return [how, " ".join(said)] if said else [how]


def _checks(screen: ScreenState) -> list[CheckLine]:
    newest = list(reversed(tension.readings(screen)))[:LAST_CHECKS]
    return [
        CheckLine(
            on_paper(one.at),
            phrase(one.stencil),
            *(say.number(value) for value in (one.low, one.high, one.mean, one.spread)),
            spots=str(one.spots),
        )
        for one in newest
    ]


def _tweaks(stand: Standing) -> list[TweakLine]:
    """The newest tweaks of the screen as corrections leave them, each with its after marks."""
    own = entries_of(stand.row).newest_first()
    newest = [
        *own.filter(kind="register_tweak")[:LOOK_BACK],
        *own.filter(kind="after_marks")[: 2 * LOOK_BACK],
    ]
    raws = {entry.pk: entry.raw for entry in newest}
    acts = list(Entry.objects.filter(target_id__in=raws, kind__in=ACTS))
    undone = Entry.objects.filter(target_id__in=[act.pk for act in acts], kind="void")
    told = effective([*raws.values(), *(e.raw for e in acts), *(e.raw for e in undone)])
    told = [raw for raw in told if stands_on(raw, stand.row)]
    after = {r["payload"]["tweak"]: r["payload"] for r in told if r["kind"] == "after_marks"}
    tweaks = [raw for raw in told if raw["kind"] == "register_tweak"][::-1][:LAST_TWEAKS]
    return [_tweak(raw, after.get(raw["id"]), stand) for raw in tweaks]


def _tweak(raw: dict[str, Any], after: dict[str, Any] | None, stand: Standing) -> TweakLine:
    payload = raw["payload"]
    bolts = {each["bolt"]: each["turn_48ths"] for each in payload["bolts"]}
    verdict = after and after.get("verdict")
    return TweakLine(
        on_paper(instant(corrected_ms(raw))),
        say.turns(bolts, stand.frame.step_48ths) or phrase("none turned"),
        word("seen", payload["seen"]),
        word("verdict", verdict)
        if verdict
        else phrase("measured")
        if after
        else phrase("still open"),
    )
