"""Form fields that read what people type: comma or point, mm, cm or inches, halves as ½."""

import re
from typing import Any

from django import forms
from django.utils.functional import lazy

from frames.wording import say as phrase
from shopfloor.office import say

later = lazy(phrase, str)
MM = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, '"': 25.4, "″": 25.4}
VULGAR = {sign: float(part) for part, sign in say.FRACTIONS.items()}
NUMBER = re.compile(r"\d{1,12}(\.\d{1,15})?|\.\d{1,15}")
MIXED = re.compile(r"(?:(\d{1,9})[ -])?(\d{1,9})/(\d{1,9})")
LONGEST = 6000  # a row of 500 frame codes
SHOWN = 40


def read_number(text: str) -> float | None:
    """The number that `text` says, or None. Takes 21,5 and 21.5 and 21½ and 21 1/2 and −3."""
    text = text.strip().replace("−", "-")
    read = _unsigned(text[1:] if text[:1] in ("+", "-") else text)
    if read is None:
        return None
    return -read if read and text[0] == "-" else read


def _unsigned(text: str) -> float | None:
    """The sign goes before the whole number, its fraction included: -1½ is less than -1."""
    part = VULGAR.get(text[-1:], 0.0)
    text = text[:-1].strip() if part else text
    if part and not text:
        return part
    if mixed := MIXED.fullmatch(text):
        whole, top, bottom = (int(found or 0) for found in mixed.groups())
        return whole + top / bottom + part if bottom else None
    text = text.replace(",", ".")
    return float(text) + part if NUMBER.fullmatch(text) else None


def read_count(text: str) -> int | None:
    """A version or a number of a list, in digits that everybody writes; None for anything else."""
    return int(text) if re.fullmatch(r"[0-9]{1,9}", text) else None


def one_line(text: str) -> str:
    """Single spaces between the words, for expressions that would try every space of a run."""
    if len(text) > LONGEST:
        raise forms.ValidationError(
            phrase("{0} characters are too many. Shorten it to {1}.", len(text), LONGEST)
        )
    return " ".join(text.split())


def shown(text: str) -> str:
    """What was typed, cut short: it still stands whole in its field."""
    return text if len(text) <= SHOWN else f"{text[: SHOWN - 1]}…"


class NumberField(forms.CharField):
    """A number that keeps what was typed until it can be read. Gives float or None."""

    def __init__(self, *, whole: bool = False, example: str = "", **kwargs: Any) -> None:
        self.whole, self.example = whole, example or ("22" if whole else later("22 or 21.5"))
        kwargs.setdefault("widget", forms.TextInput(attrs={"class": "short"}))
        super().__init__(**kwargs)
        mode = "numeric" if whole else "decimal"
        self.widget.attrs.update({"inputmode": mode, "autocomplete": "off"})
        self.error_messages["required"] = later(
            "Nothing written. Give a number, like {0}.", self.example
        )

    def to_python(self, value: object) -> float | int | None:
        if isinstance(value, (int, float)):  # a field that may not be changed keeps its number
            return value
        text = super().to_python(value)
        if text == "":
            return None
        read = read_number(text)
        if read is None:
            raise forms.ValidationError(
                phrase("“{0}” is not a number. Write it like {1}.", shown(text), self.example)
            )
        if self.whole and read != int(read):
            raise forms.ValidationError(
                phrase("“{0}” is not a whole number. Write it like {1}.", shown(text), self.example)
            )
        return int(read) if self.whole else read

    def prepare_value(self, value: object) -> object:
        return say.plain(value) if isinstance(value, (int, float)) else value


class LengthField(forms.CharField):
    """A length in the shop's unit, or with its own unit behind it. Gives mm as float."""

    def __init__(self, *, unit: str = "mm", **kwargs: Any) -> None:
        self.unit = unit
        kwargs.setdefault("widget", forms.TextInput(attrs={"class": "short"}))
        super().__init__(**kwargs)
        self.widget.attrs.update({"inputmode": "decimal", "autocomplete": "off"})
        self.example = "1000" if unit == "mm" else "39 3/8"
        wanted = "mm" if unit == "mm" else later("inches")
        self.error_messages["required"] = later(
            "Nothing written. Give a length in {0}, like {1}.", wanted, self.example
        )

    def to_python(self, value: object) -> float | None:
        if isinstance(value, (int, float)):
            return value
        text = super().to_python(value)
        if text == "":
            return None
        written, unit = split_unit(text, self.unit)
        read = read_number(written)
        if read is None:
            raise forms.ValidationError(
                phrase("“{0}” is not a length. Write it like {1}.", shown(text), self.example)
            )
        return round(read * MM[unit], 3)

    def prepare_value(self, value: object) -> object:
        if not isinstance(value, (int, float)):
            return value
        return say.plain(float(value) if self.unit == "mm" else round(value / MM["in"], 3))


def split_unit(text: str, default: str) -> tuple[str, str]:
    for unit in sorted(MM, key=len, reverse=True):
        if text.lower().endswith(unit):
            return text[: -len(unit)].strip(), unit
    return text, default


class PlacesField(forms.CharField):
    """Places along one side, a space between them. Gives a list of mm."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("widget", forms.Textarea(attrs={"rows": 2, "spellcheck": "false"}))
        super().__init__(**kwargs)
        self.error_messages["required"] = later(
            "Nothing written. Give places in mm, like 60 190 320."
        )

    def to_python(self, value: object) -> list[float]:
        if isinstance(value, list):
            return value
        text = one_line(super().to_python(value))
        return [self.place(part) for part in re.split(r"[ ;]+", text.replace(", ", " ")) if part]

    def place(self, text: str) -> float:
        if re.search(r",\d{3}", text) or text.count(",") > 1:
            raise forms.ValidationError(
                phrase(
                    "“{0}” could be one place or several. Put a space between places: 60 190 320.",
                    shown(text),
                )
            )
        read = read_number(text.removesuffix(","))
        if read is None:
            raise forms.ValidationError(
                phrase("“{0}” is not a place in mm. Write 60 190 320.", shown(text))
            )
        return read

    def prepare_value(self, value: object) -> object:
        return " ".join(say.plain(mm) for mm in value) if isinstance(value, list) else value


class SpansField(forms.CharField):
    """Parts of a side under clamps: `whole`, or from–to in mm. Gives [(from|None, to|None)]."""

    def to_python(self, value: object) -> list[tuple[float | None, float | None]]:
        text = one_line(super().to_python(value))
        if text.lower() in ("whole", phrase("whole").lower()):
            return [(None, None)]
        return [self.span(part) for part in re.sub(r" ?[-–] ?", "–", text).split()]

    def span(self, text: str) -> tuple[float, float]:
        ends = [read_number(part) for part in text.strip(",;").split("–")]
        if len(ends) != 2 or None in ends:
            raise forms.ValidationError(
                phrase(
                    "“{0}” is not a part of a side. Write from–to in mm, like 0–200, or whole.",
                    shown(text),
                )
            )
        if ends[0] >= ends[1]:
            raise forms.ValidationError(
                phrase(
                    "“{0}” ends before it begins. Write the smaller place first, like 0–200.", text
                )
            )
        return ends[0], ends[1]

    def prepare_value(self, value: object) -> object:
        if not isinstance(value, list):
            return value
        parts = ["whole" if a is None else f"{say.plain(a)}–{say.plain(b)}" for a, b in value]
        return " ".join(parts)
