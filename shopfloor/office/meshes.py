"""Meshes: the data of each mesh card."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from frames.models import Mesh
from frames.wording import say as phrase
from shopfloor.office import say
from shopfloor.office.fields import NumberField
from shopfloor.office.forms import ThingForm, note
from shopfloor.office.listing import Column

MATERIALS = [
    ("polyester", _("polyester")),
    ("stainless", _("stainless steel")),
    ("other", _("other")),
]
ORIGINS = [
    ("nominal", _("nominal")),
    ("calculated", _("calculated")),
    ("measured", _("measured")),
]
CARD = {
    "opening_um": _("Opening, µm"),
    "open_area_pct": _("Open area, %"),
    "thickness_um": _("Thickness, µm"),
    "ink_cm3_m2": _("Ink volume, cm³/m²"),
}


class MeshForm(ThingForm):
    kind = "mesh"
    groups = (
        ("", ("name", "material")),
        (_("Cloth, as on its card"), ("count_per_cm", "count_per_inch", "thread_um")),
        (_("Tension, N/cm"), ("target_n_per_cm", "tolerance_n_per_cm", "cap_n_per_cm")),
        (_("Maker's range, N/cm"), ("tension_min_n_per_cm", "tension_max_n_per_cm")),
        (
            _("More from the card"),
            tuple(name for key in CARD for name in (key, f"{key}_origin")),
        ),
        ("", ("note",)),
    )
    fields_of = {f"card.{key}": key for key in CARD}

    name = forms.CharField(label=_("Name"))
    material = forms.ChoiceField(label=_("Material"), choices=MATERIALS)
    count_per_cm = NumberField(label=_("Threads per cm"), example="77")
    count_per_inch = NumberField(label=_("Threads per inch"), example="195")
    thread_um = NumberField(label=_("Thread, µm"), example="48")
    target_n_per_cm = NumberField(label=_("Target"))
    tolerance_n_per_cm = NumberField(label=_("Tolerance ±"), example="1.5")
    cap_n_per_cm = NumberField(label=_("Never above"))
    tension_min_n_per_cm = NumberField(label=_("From"), required=False)
    tension_max_n_per_cm = NumberField(label=_("To"), required=False)
    note = note()

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for key, label in CARD.items():
            self.fields[key] = NumberField(label=label, required=False)
            self.fields[f"{key}_origin"] = forms.ChoiceField(
                label=phrase("Where from"), choices=ORIGINS, required=False
            )

    @classmethod
    def shown(cls, body: dict) -> dict:
        card = body["card"]
        values = {key: about["value"] for key, about in card.items()}
        return body | values | {f"{key}_origin": about["origin"] for key, about in card.items()}

    def values(self) -> dict:
        clean = dict(self.cleaned_data)
        card = {}
        for key in CARD:
            value, origin = clean.pop(key), clean.pop(f"{key}_origin")
            if value is not None:
                card[key] = {"value": value, "origin": origin or "nominal"}
        return clean | {"card": card}


COLUMNS = (
    Column("name", _("Mesh"), lambda mesh: mesh.name),
    Column("material", _("Material"), lambda mesh: mesh.material),
    Column("cm", _("Threads/cm"), lambda mesh: mesh.count_per_cm, number=True),
    Column("inch", _("Threads/in"), lambda mesh: mesh.count_per_inch, number=True),
    Column("thread", _("Thread, µm"), lambda mesh: mesh.thread_um, number=True),
    Column("target", _("Target, N/cm"), lambda mesh: mesh.target_n_per_cm, number=True),
    Column("cap", _("Never above"), lambda mesh: mesh.cap_n_per_cm, number=True),
)


def cells(mesh: Mesh) -> list[str]:
    target = f"{say.number(mesh.target_n_per_cm)} ± {say.number(mesh.tolerance_n_per_cm)}"
    cloth = (mesh.count_per_cm, mesh.count_per_inch, mesh.thread_um)
    return [
        dict(MATERIALS)[mesh.material],
        *map(say.plain, cloth),
        target,
        say.number(mesh.cap_n_per_cm),
    ]
