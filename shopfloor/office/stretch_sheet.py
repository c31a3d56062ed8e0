"""A sheet for the bench: all figures of fitting mesh to one frame, with room for pen and ticks."""

from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone

from frames import sheet_sums
from frames.fitting import fitting
from frames.forms import Stretching
from frames.models import Frame, FrameState, Mesh
from shopfloor.auth import who_may
from shopfloor.office import say
from shopfloor.office.frame import AS_COUNTED
from shopfloor.office.frame_form import LOCKS
from shopfloor.office.listing import searched
from shopfloor.office.shop import the_shop
from shopfloor.office.stretching import PAGES

SPOTS = ((0.5, 0.5), (0.2, 0.2), (0.8, 0.2), (0.8, 0.8), (0.2, 0.8))


@who_may("screen room", "manager")
def stretch_sheet(request: HttpRequest, frame_id: UUID) -> HttpResponse:
    found, shop = get_object_or_404(Frame, pk=frame_id), the_shop()
    meshes = Mesh.objects.in_use()
    mesh = meshes.filter(name=searched(request.GET, "mesh")).first()
    state = FrameState.objects.filter(pk=frame_id).first()
    stuck = state.body["bolts"] if state else {}
    body = found.body()
    plan = fitting(body, mesh and mesh.body(), shop.body(), stuck)
    rules = Stretching.model_validate(shop.stretching)
    context = {
        "frame": found,
        "mesh": mesh,
        "meshes": meshes,
        "shop": shop,
        "lock": dict(LOCKS)[found.lock],
        "plan": plan,
        "rules": rules,
        "bars": by_side(plan.pre_bow, found.step_48ths),
        "rounds": [by_side(turns, found.step_48ths) for turns in plan.rounds],
        "stuck": stuck,
        "notes": [(PAGES[page], text) for page, text in rules.notes.items() if page in PAGES],
        "drawing": {"frame": body, "view": AS_COUNTED, "turns": plan.pre_bow, "states": stuck},
        "spots": [{"u": u, "v": v} for u, v in SPOTS],
        "now": timezone.now(),
        **on_paper(body, mesh),
    }
    return render(request, "office/stretch_sheet.html", context)


def on_paper(frame: dict[str, Any], mesh: Mesh | None) -> dict[str, Any]:
    """The sums that hold for this frame with this mesh."""
    if mesh is None:
        return {}
    target, body = mesh.target_n_per_cm, mesh.body()
    found = {"sums": sheet_sums.sums(frame, body, target), "target": target}
    return found | {"gaps": sheet_sums.over_gaps(frame, body)}


def by_side(turns: dict[str, int], step: int) -> list[dict[str, Any]]:
    """Rows of a table: a side, and what its bolts turn."""
    return [
        {"side": side, "turns": say.turns(own, step)}
        for side in "ABCD"
        if (own := {bolt: turn for bolt, turn in turns.items() if bolt[0] == side})
    ]
