"""Jobs and their colours: what is printed, on which screens, and what is not ready yet."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.db import transaction
from django.db.models import Count, Q
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from frames import things
from frames.models import Colour, Frame, Job
from frames.wording import say as phrase
from shopfloor.auth import who_may
from shopfloor.office import coat_to_print, job_log, ok_sheets
from shopfloor.office.job_forms import ColourForm, JobForm
from shopfloor.office.listing import Column, listing, searched
from shopfloor.office.shop import the_shop
from shopfloor.office.standing import standings
from shopfloor.office.things import by

COLUMNS = (
    Column("number", _("Job"), lambda job: job.number),
    Column("title", _("Title"), lambda job: job.title.lower()),
    Column("due", _("Due"), lambda job: job.due),
    Column("colours", _("Colours"), lambda job: job.colours_in_use, number=True),
    Column("run", _("Run"), lambda job: job.run, number=True),
    Column("substrate", _("Substrate"), lambda job: job.substrate),
)


@who_may("screen room", "manager")
def jobs(request: HttpRequest) -> HttpResponse:
    context = {"listing": listing(found(request.GET), COLUMNS, request.GET), "asked": request.GET}
    return render(request, "office/jobs.html", context | {"today": timezone.localdate()})


def found(asked: QueryDict) -> list[Job]:
    """Open jobs by due date; done or retired ones only if the address asks for them."""
    shown, words = asked.get("shown", ""), searched(asked).split()
    rows = Job.objects.filter(retired=shown == "retired")
    if shown != "retired":
        rows = rows.filter(done=shown == "done")
    for word in words:
        rows = rows.filter(
            Q(number__icontains=word) | Q(title__icontains=word) | Q(customer_ref__icontains=word)
        )
    in_use = Count("colours", filter=Q(colours__retired=False))
    return list(rows.annotate(colours_in_use=in_use))


@who_may("screen room", "manager")
def job(request: HttpRequest, job_id: UUID) -> HttpResponse:
    found = get_object_or_404(Job, pk=job_id)
    colours = list(found.colours.in_use().select_related("job", "mesh", "repeats__job"))
    stands = standings(Frame.objects.in_use(), the_shop(), timezone.now())
    sheets = job_log.ok_sheets(job_id)
    signed = job_log.signed(sheets)
    context = {
        "job": found,
        "rows": coat_to_print.rows(colours, stands, signed, found.run),
        "sheets": ok_sheets.told(reversed(sheets)),
        "changed": ok_sheets.changed(colours, job_log.stays(colours), signed),
        "repeats": Job.objects.filter(colours__repeats__job=found).distinct(),
        "today": timezone.localdate(),
    }
    return render(request, "office/job.html", context)


@who_may("screen room", "manager")
def new(request: HttpRequest) -> HttpResponse:
    form = JobForm(request.POST or None, shop=the_shop())
    if form.is_valid() and (saved := form.save(by(request))):
        messages.success(request, phrase("Saved: job {0}. Now its colours.", saved.number))
        return redirect("office:colour-new", saved.pk)
    return render(request, "office/job_form.html", {"form": form})


@who_may("screen room", "manager")
def repeat(request: HttpRequest, job_id: UUID) -> HttpResponse:
    """A new job that prints with the stencils of this one."""
    of = get_object_or_404(Job, pk=job_id)
    like = {k: v for k, v in JobForm.shown(of.body()).items() if k not in ("number", "due", "done")}
    form = JobForm(request.POST or None, shop=the_shop(), initial=like | {"keep_stencils": True})
    if form.is_valid():
        with transaction.atomic():
            saved = form.save(by(request))
            for colour in of.colours.in_use() if saved else ():
                things.create("colour", repeated(colour, saved), by(request))
        if saved:
            messages.success(
                request, _("Saved: job %s. It prints with the kept stencils.") % saved.number
            )
            return redirect("office:job", saved.pk)
    return render(request, "office/job_form.html", {"form": form, "of": of})


def repeated(colour: Colour, job: Job) -> dict[str, Any]:
    """The values of a colour that prints with another one's stencil."""
    same = {name: getattr(colour, name) for name in ("position", "name", "ink", "key")}
    mesh = str(colour.mesh_id) if colour.mesh_id else None
    first = str(colour.repeats_id or colour.pk)
    return same | {"job": str(job.pk), "mesh": mesh, "repeats": first}


@who_may("screen room", "manager")
def edit(request: HttpRequest, job_id: UUID) -> HttpResponse:
    stands = get_object_or_404(Job, pk=job_id)
    form = JobForm(request.POST or None, body=stands.body(), shop=the_shop())
    if form.is_valid() and form.save(by(request)):
        messages.success(request, phrase("Saved: job {0}.", form.cleaned_data["number"]))
        return redirect("office:job", job_id)
    return render(request, "office/job_form.html", {"form": form, "job": stands})


@who_may("screen room", "manager")
def colour_new(request: HttpRequest, job_id: UUID) -> HttpResponse:
    of = get_object_or_404(Job, pk=job_id)
    last = of.colours.in_use().order_by("-position").first()
    fresh = {"position": last.position + 1 if last else 1, "key": last is None}
    form = ColourForm(request.POST or None, job=of, shop=the_shop(), initial=fresh)
    if form.is_valid() and (saved := form.save(by(request))):
        messages.success(request, phrase("Saved: colour {0}.", saved))
        return redirect("office:colour-new" if "more" in request.POST else "office:job", job_id)
    return render(request, "office/colour_form.html", {"form": form, "job": of})


@who_may("screen room", "manager")
def colour_edit(request: HttpRequest, job_id: UUID, colour_id: UUID) -> HttpResponse:
    stands = get_object_or_404(Colour, pk=colour_id, job=job_id)
    form = ColourForm(request.POST or None, job=stands.job, body=stands.body(), shop=the_shop())
    if form.is_valid() and form.save(by(request)):
        messages.success(request, phrase("Saved: colour {0}.", form.cleaned_data["name"]))
        return redirect("office:job", job_id)
    context: dict[str, Any] = {"form": form, "job": stands.job, "colour": stands}
    return render(request, "office/colour_form.html", context)
