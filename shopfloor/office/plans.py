"""Turn plans and what came of them: predicted against observed, per frame, press and mesh."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, render
from django.utils.translation import gettext_lazy as _

from frames.models import Derived, Entry, Frame, Mesh, Press
from frames.wording import mark, say_many
from frames.wording import say as phrase
from shopfloor.auth import who_may
from shopfloor.office import say
from shopfloor.office.listing import Column, listing
from shopfloor.office.names import is_uuid
from shopfloor.office.standing import moment
from shopfloor.office.turn_plan import lies
from shopfloor.office.words import word

KEEPS = {"frame": Frame, "mesh": Mesh, "press": Press}
SHARE_EXPECTED = 0.9
SHORT_OF_IT = 0.05
NEARLY_ALL = 0.97
ENOUGH = 50
FEW = 30
HIGHER = mark("On average they read {0} N/cm higher than foretold.")
LOWER = mark("On average they read {0} N/cm lower than foretold.")
TOO_FEW = mark(
    "{0} foretold {1}. {2} fell within the band foretold (90% are meant to); too few yet to say "
    "more."
)
TOO_BOLD = mark(
    "{0} foretold {1}. {2} fell within the band foretold (90% are meant to): trust the plans "
    "less, and measure more."
)
TOO_SHY = mark(
    "{0} foretold {1}. {2} fell within the band foretold (90% are meant to): the plans know more "
    "than they claim."
)
ABOUT_RIGHT = mark(
    "{0} foretold {1}. {2} fell within the band foretold (90% are meant to), about right."
)
STATUSES = {
    "reaches": _("reaches the target"),
    "towards": _("towards the target"),
    "bolts": _("bolts for register"),
    "even_up": _("evens up"),
}


@dataclass(frozen=True)
class Plan:
    """One plan of the log with what came of it, and the things it belongs to."""

    body: dict[str, Any]
    frame: Frame | None
    mesh: str
    press: str
    mesh_id: str

    @property
    def id(self) -> str:
        return self.body["plan"]

    @property
    def at(self) -> datetime | None:
        return moment(self.body["at"])

    @property
    def purpose(self) -> str:
        return word("purpose", self.body["purpose"])

    @property
    def status(self) -> str:
        return str(STATUSES.get(self.body["status"], self.body["status"]))

    @property
    def carried_out(self) -> str:
        turned = self.body["turned"]
        return phrase(turned) if turned else phrase("not turned")

    @property
    def errors(self) -> list[float]:
        """Observed less foretold, N/cm."""
        return [spot["observed"] - spot["value"] for spot in self.body["spots"]]

    @property
    def half(self) -> float:
        """Half the band foretold, N/cm."""
        widths = [spot["high"] - spot["low"] for spot in self.body["spots"]]
        return sum(widths) / len(widths) / 2

    @property
    def within(self) -> str:
        return phrase("{0} of {1}", self.body["within"], self.body["of"]) if self.body["of"] else ""


COLUMNS = (
    Column("at", _("When"), lambda plan: plan.at),
    Column("frame", _("Frame"), lambda plan: plan.frame and plan.frame.code),
    Column("mesh", _("Mesh"), lambda plan: plan.mesh),
    Column("purpose", _("For"), lambda plan: plan.purpose),
    Column("bolts", _("Bolts"), lambda plan: len(plan.body["bolts"]), number=True),
    Column("turned", _("Turned"), lambda plan: plan.carried_out),
    Column("error", _("Off by, N/cm"), lambda plan: plan.body["mean_error"], number=True),
    Column("within", _("In the band"), lambda plan: plan.within, number=True),
)


@who_may("screen room", "manager")
def plans(request: HttpRequest) -> HttpResponse:
    kept = {key: value for key in KEEPS if is_uuid(value := request.GET.get(key, ""))}
    found = keep(every_plan(), kept)
    judged = [plan for plan in found if plan.body["of"]]
    context = {
        "listing": listing(found, COLUMNS, request.GET),
        "kept": _kept_names(kept),
        "choices": _choices(every_plan(), request.GET),
        "judged": judged,
        "sentence": sentence(judged),
        "trend": trend(judged),
        "spots": [spot | {"plan": plan} for plan in judged[:FEW] for spot in plan.body["spots"]],
        "few": FEW,
    }
    return render(request, "office/plans.html", context)


def every_plan() -> list[Plan]:
    """All plans of the log, newest first."""
    rows = list(Derived.objects.of_kind("lessons").values_list("body", flat=True))
    frames = {str(f.pk): f for f in Frame.objects.filter(pk__in=[r["frame"] for r in rows])}
    meshes = {str(m.pk): m.name for m in Mesh.objects.filter(pk__in=[r["mesh"] for r in rows])}
    presses = {str(p.pk): p.name for p in Press.objects.all()}
    found = [
        Plan(
            plan,
            frames.get(row["frame"]),
            meshes.get(row["mesh"], ""),
            presses.get(plan["press"] or "", ""),
            row["mesh"],
        )
        for row in rows
        for plan in row["plans"]
    ]
    return sorted(found, key=lambda plan: plan.body["at"], reverse=True)


def keep(found: list[Plan], kept: dict[str, str]) -> list[Plan]:
    def fits(plan: Plan) -> bool:
        of = {
            "frame": str(plan.frame.pk) if plan.frame else "",
            "mesh": plan.mesh_id,
            "press": plan.body["press"] or "",
        }
        return all(of[key] == value for key, value in kept.items())

    return [plan for plan in found if fits(plan)]


def _kept_names(kept: dict[str, str]) -> str:
    names = (str(KEEPS[key].objects.filter(pk=value).first() or "") for key, value in kept.items())
    return ", ".join(filter(None, names))


def _choices(found: list[Plan], query: QueryDict) -> list[tuple[str, str, list]]:
    """For each filter its label and what there is to choose, the chosen one marked."""
    frames = {str(p.frame.pk): p.frame.code for p in found if p.frame}
    meshes = {p.mesh_id: p.mesh for p in found}
    presses = {p.body["press"]: p.press for p in found if p.body["press"]}
    out = []
    for key, label, names in (
        ("frame", phrase("Frame"), frames),
        ("mesh", phrase("Mesh"), meshes),
        ("press", phrase("Press"), presses),
    ):
        options = sorted(names.items(), key=lambda pair: pair[1])
        chosen = query.get(key, "")
        out.append((key, label, [(id, name, id == chosen) for id, name in options]))
    return out


def sentence(judged: list[Plan]) -> str:
    """What the plans show, in words."""
    errors = [error for plan in judged for error in plan.errors]
    if not errors:
        return phrase("No plan was carried out and followed by a check yet.")
    share = sum(plan.body["within"] for plan in judged) / len(errors)
    mean = sum(errors) / len(errors)
    off = phrase(HIGHER if mean > 0 else LOWER, say.plain(round(abs(mean), 2)))
    plans = say_many("{0} plan", "{0} plans", len(judged))
    readings = say_many("{0} reading", "{0} readings", len(errors))
    return f"{phrase(_verdict(share, len(errors)), plans, readings, f'{share:.0%}')} {off}"


def _verdict(share: float, readings: int) -> str:
    if readings < ENOUGH:
        return TOO_FEW
    if share < SHARE_EXPECTED - SHORT_OF_IT:
        return TOO_BOLD
    return TOO_SHY if share > NEARLY_ALL else ABOUT_RIGHT


def trend(judged: list[Plan]) -> list[dict[str, Any]]:
    """Prediction error of each plan over time, oldest first, in the columns of the chart."""
    return [
        {
            "at": plan.at,
            "plan": plan,
            "low": round(min(plan.errors), 2),
            "mean": round(plan.body["mean_error"], 2),
            "high": round(max(plan.errors), 2),
            "floor": round(-plan.half, 2),
            "ceiling": round(plan.half, 2),
        }
        for plan in reversed(judged)
    ]


@who_may("screen room", "manager")
def plan(request: HttpRequest, plan_id: UUID) -> HttpResponse:
    """One plan: what it asked for, what it foretold, what was read afterwards."""
    entry = get_object_or_404(Entry, pk=plan_id, kind="turn_plan")
    found = next((one for one in every_plan() if one.id == str(plan_id)), None)
    if found is None or found.frame is None:
        raise Http404(phrase("This plan has not been followed up yet. Look again in a minute."))
    payload = entry.raw["payload"]
    context = {
        "plan": found,
        "turns": _turns(found),
        "on_average": _on_average(found.body["mean_error"]),
        "limits": payload.get("limits") or [],
        "override": payload.get("override"),
        "drawing": _drawing(found, payload),
        "lies": lies(payload),
        "marks": found.body["marks"],
    }
    return render(request, "office/plan.html", context)


def _on_average(off: float | None) -> str:
    near = 0 if off is None else round(off, 1)
    if near == 0:
        return phrase("On average they read as foretold.")
    return phrase(HIGHER if near > 0 else LOWER, say.tenths(abs(near)))


def _turns(found: Plan) -> str:
    bolts = {b["bolt"]: b["turn_48ths"] for b in found.body["bolts"]}
    return say.turns(bolts, found.frame.step_48ths)


def _drawing(found: Plan, payload: dict) -> dict[str, Any]:
    return {
        "frame": found.frame.body(),
        "view": {"face": payload["face"], "near": payload["near"]},
        "turns": {b["bolt"]: b["turn_48ths"] for b in found.body["bolts"]},
    }
