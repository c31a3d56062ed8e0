"""All checks of one mesh on one control chart: how far each departs from its forecast."""

from typing import Any
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render

from frames import charting
from frames.models import Frame, Mesh, ScreenState
from frames.wording import say as phrase
from shopfloor.auth import who_may
from shopfloor.office import say
from shopfloor.office.standing import moment

MOST = 300


@who_may("screen room", "manager")
def mesh_chart(request: HttpRequest, mesh_id: UUID) -> HttpResponse:
    mesh = get_object_or_404(Mesh, pk=mesh_id)
    chart = charting.of_mesh(str(mesh.pk))
    if chart is None:
        raise Http404
    points = chart["points"][:MOST]
    homes = dict(
        ScreenState.objects.filter(pk__in={p["screen"] for p in points}).values_list("pk", "frame")
    )
    frames = Frame.objects.in_bulk(list(homes.values()))
    rows = [
        point | {"at": moment(point["at"]), "frame": frames.get(homes.get(point["screen"]))}
        for point in points
    ]
    context = {"mesh": mesh, "chart": chart, "rows": rows, "chart_said": _said(chart)}
    return render(request, "office/mesh_chart.html", context)


def _said(chart: dict[str, Any]) -> str:
    spoke = sum(bool(point["rules"]) for point in chart["points"])
    mean = say.signed(chart["centre"])
    if not spoke:
        return phrase("{0} checks, {1} σ off their forecasts on average; no run rule spoke.",
                      chart["checks"], mean)  # fmt: skip
    return phrase("{0} checks, {1} σ off their forecasts on average; run rules spoke at {2}.",
                  chart["checks"], mean, spoke)  # fmt: skip
