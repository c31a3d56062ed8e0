"""Labels: choose frames and stock, print the sheet."""

import re

from django import forms
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect, QueryDict
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from frames.errors import BadInput
from frames.models import Frame
from frames.wording import say as phrase
from shopfloor.auth import who_may
from shopfloor.labels import STOCKS
from shopfloor.labels.rolls import RESOLUTIONS
from shopfloor.office import lookup
from shopfloor.office.fields import NumberField, one_line, shown
from shopfloor.office.forms import tell_required

MOST = 500
ROLLS = {
    "roll-pdf": _("Roll printer, as PDF: size below"),
    "roll-png": _("Roll printer, as PNG pictures in a ZIP: size below"),
}
# a row of numbers, not the check character of a code such as F0417-1
RANGE = re.compile(r"(?<!\w)(\d{1,9}) ?[-–] ?(\d{1,9})(?!\w)")


class LabelsForm(forms.Form):
    frames = forms.CharField(
        label=_("Frames"),
        widget=forms.Textarea(attrs={"rows": 3, "spellcheck": "false"}),
        help_text=_("Codes or numbers, a space between them. From–to for a row: 417 420–431."),
        error_messages={"required": _("Nothing written. Give at least one frame, like 417.")},
    )
    stock = forms.ChoiceField(label=_("Label sheet"))
    start = NumberField(
        label=_("First free label"),
        whole=True,
        help_text=_("Counted row by row; 1 on a full sheet."),
    )
    width = NumberField(label=_("Label on the roll: width, mm"), required=False, example="76")
    height = NumberField(label=_("Height, mm"), required=False, example="51")
    dpi = forms.TypedChoiceField(
        label=_("Dots per inch of the printer"),
        choices=[(dpi, dpi) for dpi in RESOLUTIONS],
        coerce=int,
        required=False,
    )

    def __init__(self, *args: object, **kwargs: object) -> None:
        super().__init__(*args, **kwargs)
        tell_required(self)
        sheets = [(key, stock.title) for key, stock in STOCKS.items()]
        self.fields["stock"].choices = [*sheets, *ROLLS.items()]

    def clean(self) -> dict:
        """A roll has no usual size, so both of its measures are asked for."""
        clean = super().clean()
        for name in ("width", "height") if clean.get("stock") in ROLLS else ():
            if clean.get(name) is None and name not in self.errors:
                self.add_error(
                    name, phrase("Nothing written. Measure the label and give it in mm.")
                )
        return clean

    def clean_frames(self) -> list[Frame]:
        text = RANGE.sub(r"\1–\2", one_line(self.cleaned_data["frames"]))
        found: dict[Frame, None] = {}
        for part in re.split(r"[ ,;]+", text):
            found |= dict.fromkeys(self.find(part) if part else ())
            if len(found) > MOST:
                raise forms.ValidationError(
                    phrase("{0} frames: print at most {1} at once.", len(found), MOST)
                )
        return list(found)

    def find(self, part: str) -> list[Frame]:
        if row := RANGE.fullmatch(part):
            first, last = int(row[1]), int(row[2])
            found = list(Frame.objects.in_use().filter(number__range=(first, last)))
            if not found:
                raise forms.ValidationError(phrase("“{0}”: no frame has these numbers.", part))
            return found
        try:
            return [lookup.frame(part)]
        except BadInput as error:
            raise forms.ValidationError(f"“{shown(part)}”: {error.problems[0].remedy}") from None

    def clean_start(self) -> int:
        start = self.cleaned_data["start"]
        stock = STOCKS.get(self.cleaned_data.get("stock", ""))
        if stock and not 1 <= start <= stock.cells:
            raise forms.ValidationError(
                phrase("“{0}”: this sheet has labels 1 to {1}.", start, stock.cells)
            )
        return start


@who_may("screen room", "manager")
def labels(request: HttpRequest) -> HttpResponse:
    asked = request.GET
    form = LabelsForm(asked if "stock" in asked else None, initial=chosen(asked))
    if form.is_valid():
        return HttpResponseRedirect(file_address(form))
    stock = str(form["stock"].value())
    context = {"form": form, "trial": stock if stock in STOCKS else next(iter(STOCKS))}
    return render(request, "office/labels.html", context)


def chosen(asked: QueryDict) -> dict:
    """Frames that another page hands over, by code."""
    return {"frames": " ".join(asked.getlist("frames")), "start": 1, "stock": next(iter(STOCKS))}


def file_address(form: LabelsForm) -> str:
    clean, asked = form.cleaned_data, QueryDict(mutable=True)
    asked.setlist("frame", [str(frame.pk) for frame in clean["frames"]])
    of_roll = clean["stock"] in ROLLS
    told = ("width", "height", "dpi") if of_roll else ("stock", "start")
    asked.update({name: str(clean[name]) for name in told})
    name = clean["stock"] if of_roll else "sheet"
    return f"{reverse(f'labels:{name}')}?{asked.urlencode()}"
