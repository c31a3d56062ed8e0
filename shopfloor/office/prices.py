"""What meshes cost the shop, and what their lives come to at these prices."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from frames import lives
from frames.forms import Prices
from frames.wording import say as phrase
from frames.wording import written
from shopfloor.auth import who_may
from shopfloor.office import say
from shopfloor.office.fields import NumberField
from shopfloor.office.forms import ThingForm
from shopfloor.office.shop import the_shop

NAMES = tuple(Prices.model_fields)


class PricesForm(ThingForm):
    kind = "shop"
    fields_of = {f"prices.{name}": name for name in NAMES}

    mesh = NumberField(label=gettext_lazy("Mesh for one frame"))
    hour = NumberField(label=gettext_lazy("An hour of work"))
    fitting_minutes = NumberField(label=gettext_lazy("Fitting a mesh, minutes"))
    retension_minutes = NumberField(label=gettext_lazy("One retension, minutes"))
    burst_minutes = NumberField(
        label=gettext_lazy("A burst on press, minutes"),
        help_text=gettext_lazy("The press stands, another screen is made or fetched."),
    )

    @classmethod
    def shown(cls, body: dict) -> dict:
        return Prices.model_validate(body["prices"]).model_dump()

    def values(self) -> dict:
        return {"prices": dict(self.cleaned_data)}


@who_may("screen room", "manager")
def prices(request: HttpRequest) -> HttpResponse:
    shop = the_shop()
    if shop.version == 0:
        return redirect("office:shop")
    form = PricesForm(request.POST or None, body=shop.body(), shop=shop)
    if form.is_valid() and form.save(f"desk:{request.user.get_username()}"):
        messages.success(request, _("Saved."))
        return redirect("office:figures")
    return render(request, "office/prices.html", {"form": form})


def lives_told() -> list[dict[str, Any]]:
    """Lives of all meshes at the shop's prices, each with when a new mesh is cheaper."""
    found = lives.mesh_lives(Prices.model_validate(the_shop().prices))
    return [row | {"cheaper": _cheaper(row["cost"])} for row in found]


def _cheaper(cost: dict[str, Any] | None) -> str:
    if cost is None:
        return ""
    best, left = written(cost["best"], ".2f"), written(cost["left"], ".2f")
    if cost["age"] is None:
        return phrase("Leave it until it bursts: {0} per 1,000 impressions.", left)
    return phrase(
        "A new mesh is cheaper from about {0} impressions on: {1} per 1,000 against {2}.",
        say.count(int(float(f"{cost['age']:.1e}"))),
        best,
        left,
    )
