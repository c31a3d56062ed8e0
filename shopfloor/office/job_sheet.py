"""The traceable sheet of one job: screens, checks, tweaks, OK sheets, who and when; to print."""

from dataclasses import dataclass
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone

from frames import feed
from frames.models import Colour, Frame, Job, Mesh
from shopfloor.auth import who_may
from shopfloor.office import job_log, ok_sheets, say
from shopfloor.office.history import Line
from shopfloor.office.job_log import Stay
from shopfloor.office.shop import the_shop


@dataclass(frozen=True)
class Part:
    """One stencil of one colour."""

    code: str
    mesh: str
    target: str
    is_over: bool
    lines: list[Line]


@who_may("screen room", "manager")
def sheet(request: HttpRequest, job_id: UUID) -> HttpResponse:
    job = get_object_or_404(Job, pk=job_id)
    colours = list(job.colours.in_use().select_related("mesh", "repeats__job"))
    sheets = job_log.ok_sheets(job.pk)
    stays = job_log.stays(colours)
    signed = job_log.signed(sheets)
    context = {
        "job": job,
        "shop": the_shop(),
        "now": timezone.now(),
        "head": feed.head(),
        "colours": parts(colours, stays),
        "sheets": ok_sheets.told(sheets),
        "changed": ok_sheets.changed(colours, stays, signed),
    }
    return render(request, "office/job_sheet.html", context)


def parts(colours: list[Colour], stays: list[Stay]) -> list[tuple[Colour, list[Part]]]:
    """Each colour with its stencils, oldest first."""
    frames = {stay.screen.frame for stay in stays}
    codes = dict(Frame.objects.filter(pk__in=frames).values_list("pk", "code"))
    meshes = dict(Mesh.objects.values_list("pk", "name"))
    lines = iter(ok_sheets.told(raw for stay in stays for raw in stay.entries))
    made: dict[str, list[Part]] = {str(colour.pk): [] for colour in colours}
    for stay in stays:
        row, its = stay.screen, [next(lines) for _ in stay.entries]
        target = f"{say.number(row.target)} ± {say.number(row.tolerance)} N/cm"
        part = Part(codes.get(row.frame, ""), meshes.get(row.mesh, ""), target, stay.is_over, its)
        made[stay.colour].append(part)
    return [(colour, made[str(colour.pk)]) for colour in colours]
