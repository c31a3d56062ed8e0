"""The shop's own settings."""

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from frames.models import Shop
from shopfloor.auth import who_may
from shopfloor.office.fields import NumberField
from shopfloor.office.forms import ThingForm

DEFAULTS = {
    "prefix": "F", "length_unit": "mm", "count_unit": "cm", "tolerance_n_per_cm": 1.5,
    "spread_limit_n_per_cm": 3, "recent_days": 7, "round_limit_48ths": 96, "spots": "centre",
    "reading_order": "both", "stencil_move_limit_mm": 0.5,
}  # fmt: skip


def the_shop() -> Shop:
    """The one shop; before it is set up, its defaults under no name."""
    return Shop.objects.first() or Shop(name="", **DEFAULTS)


class ShopForm(ThingForm):
    kind = "shop"
    groups = (
        ("", ("name", "prefix")),
        ("Units", ("length_unit", "count_unit")),
        ("When a screen holds", ("tolerance_n_per_cm", "spread_limit_n_per_cm", "recent_days")),
        ("Daily check on the phone", ("spots", "reading_order")),
        ("Limits for turning bolts", ("round_limit_48ths", "stencil_move_limit_mm")),
    )

    name = forms.CharField(label="Name of the shop", max_length=80)
    prefix = forms.CharField(
        label="Letters before each frame's number",
        max_length=3,
        help_text="1 to 3 capital letters. Frames that are there keep their code.",
    )
    length_unit = forms.ChoiceField(label="Lengths", choices=[("mm", "mm"), ("in", "inches")])
    count_unit = forms.ChoiceField(
        label="Mesh counts", choices=[("cm", "threads/cm"), ("in", "threads/inch")]
    )
    tolerance_n_per_cm = NumberField(label="Tolerance for a new mesh ±, N/cm")
    spread_limit_n_per_cm = NumberField(label="Spots may differ by, N/cm")
    recent_days = NumberField(label="A check counts for, days", whole=True)
    spots = forms.ChoiceField(
        label="Spots",
        choices=[("centre", "the centre"), ("five", "five spots"), ("nine", "nine spots")],
    )
    reading_order = forms.ChoiceField(
        label="Order",
        choices=[("both", "both ways at each spot"), ("along_first", "all along A, then across")],
    )
    round_limit_48ths = NumberField(
        label="Most that a bolt turns in one round, 48ths of a turn",
        whole=True,
        help_text="96 is two turns; a flat is 8.",
    )
    stencil_move_limit_mm = NumberField(
        label="The image may move by, mm", help_text="With a stencil on the screen."
    )

    def clean_prefix(self) -> str:
        return self.cleaned_data["prefix"].upper()


@who_may("manager")
def settings(request: HttpRequest) -> HttpResponse:
    stands = Shop.objects.first()
    body = stands.body() if stands else None
    form = ShopForm(request.POST or None, body=body, shop=the_shop(), initial=DEFAULTS)
    if form.is_valid() and form.save(f"desk:{request.user.get_username()}"):
        messages.success(request, "Saved.")
        return redirect("office:shop")
    return render(request, "office/shop.html", {"form": form, "shop": stands})
