"""Piece, setting of the bars and coarse rounds: the phone asks for what the stretch sheet asks."""

import json
import random
import subprocess
from typing import Any

from frames import fitting
from frames.forms import Stretching
from shopfloor.launch import node
from tests.source_tree import ROOT

RULES = "../views/stretch/rules"


def _frame(dice: random.Random) -> dict[str, Any]:
    a, b = dice.randint(400, 2000), dice.randint(400, 2000)
    places = {
        side: sorted(dice.sample(range(40, length - 40), dice.randint(1, 9)))
        for side, length in zip("ABCD", (a, b, a, b), strict=True)
    }
    return {
        "inside_a_mm": a,
        "inside_b_mm": b,
        "bolts": places,
        "pitch_mm": dice.choice([1.25, 25.4 / 18]),
        "step_48ths": dice.choice([8, 6, 3]),
        "rods": "as on the frame",
    }


def _listed(turns: dict[str, int]) -> list[dict[str, Any]]:
    return [{"bolt": bolt, "turn_48ths": turn} for bolt, turn in turns.items()]


def _asked(dice: random.Random) -> list[tuple[list[Any], Any]]:
    """What the phone is asked of a frame, beside what the sheet says."""
    frame = _frame(dice)
    stuck = {"A1": "seized"} if dice.random() < 0.5 else {}
    bow, limit, number = dice.uniform(0, 12), dice.randint(20, 144), dice.randint(1, 3)
    rules = Stretching(
        rods=[{"material": "polyester", "from_per_cm": 10.0, "to_per_cm": 60.0, "rods": "thin"}]
    )
    mesh = {
        "material": dice.choice(["polyester", "stainless"]),
        "count_per_cm": dice.choice([43, 77, 128]),
        "thread_um": dice.choice([28, 34, 55]),
        "target_n_per_cm": dice.uniform(12, 30),
    }
    sums = fitting.fitting(frame, mesh, {"stretching": rules.model_dump(), "round_limit_48ths": 96})
    return [
        ([RULES, "preBow", [frame, bow]], _listed(fitting.pre_bow(frame, bow))),
        (
            [RULES, "coarseRound", [frame, mesh, stuck, number, 3, limit]],
            _listed(fitting.coarse_round(frame, mesh, stuck, number, 3, limit)),
        ),
        (
            [RULES, "pieceOf", [frame, rules.model_dump()]],
            {"a": sums.piece[0], "b": sums.piece[1]},
        ),
        ([RULES, "rodsFor", [mesh, frame, rules.model_dump()]], sums.rods),
    ]


def test_phone_and_sheet_ask_the_same() -> None:
    dice = random.Random(11)
    pairs = [pair for _ in range(60) for pair in _asked(dice)]
    told = subprocess.run(
        [*node.find().node, str(ROOT / "tests/js/sums.mjs")],
        input=json.dumps([call for call, _ in pairs]),
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    for (call, wanted), got in zip(pairs, json.loads(told.stdout), strict=True):
        assert got == wanted, call


def test_the_phone_starts_from_the_same_rules() -> None:
    rules = (ROOT / "static/src/phone/views/stretch/rules.js").as_uri()
    source = f"import {{ STRETCHING }} from '{rules}'; console.log(JSON.stringify(STRETCHING))"
    done = subprocess.run(
        [*node.find().node, "--input-type=module", "-e", source],
        capture_output=True,
        text=True,
        check=True,
    )
    assert json.loads(done.stdout) == Stretching().model_dump()
