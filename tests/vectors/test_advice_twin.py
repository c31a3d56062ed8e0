"""The phone works advice out as the server does, on hundreds of random requests."""

import json
import subprocess
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from frames import advice
from frames.advice.answers import believed, last_spots, with_readings
from frames.advice.history import readings_of
from frames.advice.setup import Setup
from frames.advice.tensioning import over_stencil
from frames.errors import BadInput
from frames.mechanics import plan_tension
from shopfloor.launch import node, pages
from tests.vectors import advice_numbers
from tests.vectors.advice_requests import faulty, questions

Json = dict[str, Any]
SCRIPT = pages.FOLDER.parent / "tests/js/advice_answers.mjs"
CLOSE = 1e-6
FLIPS = 3  # a thousandth that one side rounds up and the other down: 0.0005 within 1e-9


def server(question: str, request: Json) -> Json:
    if question == "unrounded":
        return unrounded(request)
    try:
        return getattr(advice, question)(request)
    except BadInput as bad:
        (problem,) = bad.problems
        return {"field": problem.field, "value": problem.value, "remedy": problem.remedy}


def unrounded(request: Json) -> Json:
    """A turn plan's numbers before they are rounded for people."""
    setup = Setup(request)
    state = with_readings(setup, believed(setup)).state
    spots = last_spots(setup, "coated" if setup.is_coated else "bare")
    reason = setup.options.get("override")
    if setup.is_coated and reason:
        state = over_stencil(setup, state, spots)
    refused = setup.is_coated and not reason
    plan = plan_tension(state, setup.aim, setup.limits, readings_of(spots), refused)
    found = plan.predicted
    return {
        "turns": None if plan.unrounded is None else plan.unrounded.tolist(),
        "highest": plan.highest_n_per_cm,
        "predicted": found and [b.tolist() for b in (found.low, found.mean, found.high)],
    }


@pytest.fixture(scope="module")
def asked() -> list[tuple[str, Json]]:
    told = list(questions())
    plans = [request for question, request in told if question == "tension"]
    return [*faulty(), *told, *(("unrounded", request) for request in plans[::3])]


@pytest.fixture(scope="module")
def wanted(asked: list[tuple[str, Json]]) -> list[Json]:
    return json.loads(json.dumps([server(*one) for one in asked]))


@pytest.fixture(scope="module")
def got(asked: list[tuple[str, Json]], tmp_path_factory: pytest.TempPathFactory) -> list[Json]:
    file: Path = tmp_path_factory.mktemp("advice") / "questions.json"
    file.write_text(json.dumps(asked), encoding="utf-8")
    command = [*node.find().node, str(SCRIPT), str(file)]
    told = subprocess.run(command, capture_output=True, text=True, timeout=300, check=False)
    assert not told.returncode, told.stderr
    return json.loads(told.stdout)


def differences(a: Any, b: Any, at: str = "") -> Iterator[tuple[str, Any, Any]]:
    """Places where two answers differ, numbers by more than a millionth."""
    if isinstance(a, dict) and isinstance(b, dict) and a.keys() == b.keys():
        for key in a:
            yield from differences(a[key], b[key], f"{at}.{key}")
    elif isinstance(a, list) and isinstance(b, list) and len(a) == len(b):
        for i, (one, other) in enumerate(zip(a, b, strict=True)):
            yield from differences(one, other, f"{at}[{i}]")
    elif isinstance(a, float) or isinstance(b, float):
        if not isinstance(a, int | float) or not isinstance(b, int | float) or abs(a - b) > CLOSE:
            yield at, a, b
    elif a != b or isinstance(a, bool) != isinstance(b, bool):
        yield at, a, b


def is_flip(a: Any, b: Any) -> bool:
    return isinstance(a, float) and isinstance(b, int | float) and abs(a - b) < 0.001 + CLOSE


def test_every_answer_is_the_same(
    asked: list[tuple[str, Json]], wanted: list[Json], got: list[Json]
) -> None:
    assert len(asked) == len(got) >= 600
    flips = 0
    for number, ((question, _), a, b) in enumerate(zip(asked, wanted, got, strict=True)):
        found = list(differences(a, b))
        real = [d for d in found if question == "unrounded" or not is_flip(*d[1:])]
        assert not real, f"request {number} ({question}): {real[:4]}"
        flips += len(found)
    assert flips <= FLIPS


def test_every_kind_of_answer_occurs(asked: list[tuple[str, Json]], wanted: list[Json]) -> None:
    said = Counter(
        (q, a.get("status") or a.get("answer")) for (q, _), a in zip(asked, wanted, strict=True)
    )
    for status in ("reaches", "towards", "leave", "blocked", "refused"):
        assert said["tension", status] >= 5
    for answer in ("leave_alone", "press", "bolts", "bolts_cannot"):
        assert said["register", answer] >= 5
    assert said["even_up", "even_up"] >= 5
    assert min(said["corners", status] for status in ("ease", "leave", "blocked")) >= 3
    assert said["what_if", None] >= 20
    assert sum("remedy" in answer for answer in wanted) >= 20


def test_every_limit_and_layout_occurs(asked: list[tuple[str, Json]], wanted: list[Json]) -> None:
    limits = " ".join(text for answer in wanted for text in answer.get("limits", []))
    words = ("tightened", "loosened", "Neighbours", "highest tension", "cannot be reached")
    for word in (*words, "seized", "broken", "end bolt", "stay in its band", "image may move"):
        assert word in limits, word
    frames = [r["frame"] for q, r in asked if q == "tension" and r["frame"]]
    assert {f["step_48ths"] for f in frames} >= {8, 6, 3}
    assert {len(f["bolts"].get("A", [])) for f in frames} >= {*range(4, 10), 16}


def test_numbers_that_both_share_are_fresh() -> None:
    assert advice_numbers.FILE.read_text(encoding="utf-8") == advice_numbers.text(), (
        "run `python -m tests.vectors.advice_numbers`"
    )
