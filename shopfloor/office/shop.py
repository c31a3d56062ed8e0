"""The shop's own settings."""

from dataclasses import replace

from django import forms
from django.conf import settings as conf
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext_lazy as _

from frames.errors import Problem
from frames.models import Shop
from frames.wording import say as phrase
from shopfloor.auth import who_may
from shopfloor.office.fields import NumberField
from shopfloor.office.forms import ThingForm

TURN = 48


def the_shop() -> Shop:
    """The one shop; before it is set up, its defaults under no name."""
    return Shop.objects.first() or Shop(prefix="F")


class ShopForm(ThingForm):
    kind = "shop"
    groups = (
        ("", ("name", "prefix", "language")),
        (_("Units"), ("length_unit", "count_unit")),
        (_("When a screen holds"), ("tolerance_n_per_cm", "spread_limit_n_per_cm", "recent_days")),
        (_("Rest and sets"), ("rest_limit_n_per_cm", "set_spread_n_per_cm")),
        (_("Daily check on the phone"), ("spots", "reading_order")),
        (_("Screen room"), ("look_ahead_days",)),
        (_("Limits for turning bolts"), ("round_limit", "stencil_move_limit_mm")),
    )

    fields_of = {"round_limit_48ths": "round_limit"}

    name = forms.CharField(label=_("Name of the shop"))
    prefix = forms.CharField(
        label=_("Letters before each frame's number"),
        help_text=_("1 to 3 capital letters. Frames that are there keep their code."),
    )
    language = forms.ChoiceField(
        label=_("Language"),
        choices=conf.LANGUAGES,
        help_text=_("For everybody who chose none on their own phone or at the foot of a page."),
    )
    length_unit = forms.ChoiceField(label=_("Lengths"), choices=[("mm", "mm"), ("in", _("inches"))])
    count_unit = forms.ChoiceField(
        label=_("Mesh counts"), choices=[("cm", _("threads/cm")), ("in", _("threads/inch"))]
    )
    tolerance_n_per_cm = NumberField(label=_("Tolerance for a new mesh ±, N/cm"))
    spread_limit_n_per_cm = NumberField(label=_("Spots may differ by, N/cm"))
    recent_days = NumberField(label=_("A check counts for, days"), whole=True)
    look_ahead_days = NumberField(
        label=_("Look ahead, days"),
        whole=True,
        help_text=_("The work list holds jobs that are due so soon."),
    )
    rest_limit_n_per_cm = NumberField(
        label=_("A screen rests while a day costs more than, N/cm"),
        help_text=_("It is coated when it loses less."),
    )
    set_spread_n_per_cm = NumberField(
        label=_("Screens of a set may differ by, N/cm"),
        help_text=_("Each is compared with its own target."),
    )
    spots = forms.ChoiceField(
        label=_("Spots"),
        choices=[("centre", _("the centre")), ("five", _("five spots")), ("nine", _("nine spots"))],
    )
    reading_order = forms.ChoiceField(
        label=_("Order"),
        choices=[
            ("both", _("both ways at each spot")),
            ("along_first", _("all along A, then across")),
        ],
    )
    round_limit = NumberField(label=_("A bolt turns in one round at most, turns"))
    stencil_move_limit_mm = NumberField(
        label=_("The image may move by, mm"), help_text=_("With a stencil on the screen.")
    )

    @classmethod
    def shown(cls, body: dict) -> dict:
        return body | {"round_limit": body["round_limit_48ths"] / TURN}

    def values(self) -> dict:
        clean = dict(self.cleaned_data)
        turns = clean.pop("round_limit")
        return clean | {"round_limit_48ths": round(turns * TURN)}

    def take(self, problems: list[Problem]) -> None:
        """What a bolt turns is saved in 48ths; people typed turns and are shown those."""
        typed = self.data.get("round_limit")
        super().take(
            [replace(p, value=typed) if p.field == "round_limit_48ths" else p for p in problems]
        )

    def clean_prefix(self) -> str:
        return self.cleaned_data["prefix"].upper()


@who_may("manager")
def settings(request: HttpRequest) -> HttpResponse:
    shop = the_shop()
    is_new = shop.name == ""
    initial = ShopForm.shown(shop.body())
    form = ShopForm(
        request.POST or None, body=None if is_new else shop.body(), shop=shop, initial=initial
    )
    if form.is_valid() and form.save(f"desk:{request.user.get_username()}"):
        messages.success(request, phrase("Saved."))
        return redirect("office:shop")
    return render(request, "office/shop.html", {"form": form, "is_new": is_new})
