"""Pages for meshes, presses, meters and operators: a table, a form, out of use and back."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_POST

from frames import things as door
from frames.errors import Conflict
from frames.models import THINGS, Thing
from frames.wording import say as phrase
from shopfloor.auth import who_may
from shopfloor.office import meshes, meters, operators, presses
from shopfloor.office.fields import read_count
from shopfloor.office.forms import ThingForm
from shopfloor.office.listing import Column, listing, searched
from shopfloor.office.shop import the_shop


@dataclass(frozen=True)
class Noun:
    """What the pages of one kind of thing need to know about it."""

    kind: str
    slug: str
    form: type[ThingForm]
    columns: tuple[Column, ...]
    cells: Callable[[Any], list[str]]
    prepare: Callable[[list], list] = list
    page: str = ""  # where a thing has a page of its own beside its form

    @property
    def model(self) -> type[Thing]:
        return THINGS[self.kind]

    @property
    def title(self) -> str:
        return str(SAID[self.kind][0])

    @property
    def new(self) -> str:
        return str(SAID[self.kind][1])

    @property
    def none(self) -> str:
        return str(SAID[self.kind][2])

    def told(self, thing: Thing) -> list[tuple[str, Column]]:
        """Text of each cell after the name, with its column."""
        return list(zip(self.cells(thing), self.columns[1:], strict=True))


SAID = {
    "mesh": (_("Meshes"), _("New mesh"), _("No meshes yet.")),
    "press": (_("Presses"), _("New press"), _("No presses yet.")),
    "meter": (_("Meters"), _("New meter"), _("No meters yet.")),
    "operator": (_("Operators"), _("New operator"), _("No operators yet.")),
}
NOUNS = {
    noun.slug: noun
    for noun in (
        Noun("mesh", "meshes", meshes.MeshForm, meshes.COLUMNS, meshes.cells),
        Noun(
            "press",
            "presses",
            presses.PressForm,
            presses.COLUMNS,
            presses.cells,
            page="office:press",
        ),
        Noun(
            "meter",
            "meters",
            meters.MeterForm,
            meters.COLUMNS,
            meters.cells,
            meters.with_zero,
            page="office:meter",
        ),
        Noun("operator", "operators", operators.OperatorForm, operators.COLUMNS, operators.cells),
    )
}
RETIRED_HERE = {noun.kind for noun in NOUNS.values()} | {"frame", "job", "colour"}


def noun_of(slug: str) -> Noun:
    if slug not in NOUNS:
        raise Http404
    return NOUNS[slug]


def list_with(kind: str, thing: Thing) -> str:
    """The page on which a thing of this kind is one among others."""
    if kind == "colour":
        return reverse("office:job", args=[thing.job_id])
    if kind in ("frame", "job"):
        return reverse(f"office:{kind}s")
    slug = next(noun.slug for noun in NOUNS.values() if noun.kind == kind)
    return reverse("office:things", args=[slug])


def by(request: HttpRequest) -> str:
    return f"desk:{request.user.get_username()}"


@who_may("screen room", "manager")
def table(request: HttpRequest, slug: str) -> HttpResponse:
    noun, retired = noun_of(slug), request.GET.get("retired") == "yes"
    search = searched(request.GET)
    found = noun.model.objects.filter(retired=retired, name__icontains=search)
    rows = listing(list(found), noun.columns, request.GET)
    shown = [(thing, noun.told(thing)) for thing in noun.prepare(list(rows.page))]
    context = {"noun": noun, "listing": rows, "rows": shown, "retired": retired, "search": search}
    return render(request, "office/things.html", context)


@who_may("screen room", "manager")
def new(request: HttpRequest, slug: str) -> HttpResponse:
    noun = noun_of(slug)
    form = noun.form(request.POST or None, shop=the_shop())
    if form.is_valid() and (thing := form.save(by(request))):
        messages.success(request, phrase("Saved: {0}.", thing))
        return redirect("office:things", slug)
    return render(request, "office/thing.html", {"noun": noun, "form": form})


@who_may("screen room", "manager")
def edit(request: HttpRequest, slug: str, id: UUID) -> HttpResponse:
    noun = noun_of(slug)
    thing = get_object_or_404(noun.model, pk=id)
    form = noun.form(request.POST or None, body=thing.body(), shop=the_shop())
    if form.is_valid() and (saved := form.save(by(request))):
        messages.success(request, phrase("Saved: {0}.", saved))
        return redirect(noun.page, id) if noun.page else redirect("office:things", slug)
    return render(request, "office/thing.html", {"noun": noun, "form": form, "thing": thing})


@require_POST
@who_may("screen room", "manager")
def retire(request: HttpRequest, kind: str, id: UUID) -> HttpResponse:
    """Out of use, or back into it (`back` in the form); what the log says about it stays."""
    if kind not in RETIRED_HERE:
        raise Http404
    thing = get_object_or_404(THINGS[kind], pk=id)
    retired, seen = "back" not in request.POST, request.POST.get("version", "")
    try:
        door.retire(kind, id, read_count(seen) or 0, by(request), retired=retired)
        messages.success(
            request,
            phrase("{0} is retired.", thing) if retired else phrase("{0} is back in use.", thing),
        )
    except Conflict:
        messages.warning(
            request, phrase("{0} was changed meanwhile. Look at it, then try again.", thing)
        )
    return redirect(list_with(kind, thing))
