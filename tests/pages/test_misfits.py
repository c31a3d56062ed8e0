"""An entry that was refused says where, what and why in words, not in names of the log."""

from collections.abc import Iterator
from typing import Any, get_args

import pytest
from pydantic import BaseModel

from frames.entries import KINDS, Envelope
from shopfloor.office.misfits import AROUND, INSIDE, misfit, place


def fields(kind: Any) -> Iterator[str]:
    """The names of all fields of a shape and of the shapes inside it."""
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        for name, field in kind.model_fields.items():
            yield name
            yield from fields(field.annotation)
    for part in get_args(kind):
        yield from fields(part)


@pytest.mark.parametrize("kind", KINDS)
def test_whatever_an_entry_carries_has_a_name_in_words(kind: str) -> None:
    assert set(fields(KINDS[kind])) <= INSIDE.keys()


def test_what_stands_around_it_has_one_too() -> None:
    assert set(fields(Envelope)) <= AROUND.keys()


@pytest.mark.parametrize(
    ("field", "said"),
    [
        ("payload.spots.2.along_a_n_per_cm", "Spots, no. 3 · Along A, N/cm"),
        ("payload.v", "Place across A"),
        ("v", "Version"),
        ("payload", "Content"),
        ("subject.kind", "What it is about · Kind"),
        ("payload.colours.0", "Colours, no. 1"),
        ("payload.wings", "wings"),
        ("7", "7"),
    ],
)
def test_a_place_is_told_in_words(field: str, said: str) -> None:
    assert place(field) == said


def test_what_stood_there_is_told_unless_nothing_did() -> None:
    told = {"field": "payload.station", "remedy": "Give the station's number, from 1."}
    assert misfit(told | {"value": 0}) == "Station “0”: Give the station's number, from 1."
    assert misfit(told | {"value": 100.0}).startswith("Station “100”: ")
    assert misfit(told | {"value": None}) == "Station: Give the station's number, from 1."
