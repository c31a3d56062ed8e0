"""The vectors for the phone are those this code writes, to rounding."""

import json

import numpy as np
import pytest

from . import make_vectors

NAMES = ("qp.json", "strip.json", "plan.json")


def same(mine: object, stored: object, where: str) -> None:
    if isinstance(mine, dict):
        assert list(mine) == list(stored), where
        for key, value in mine.items():
            same(value, stored[key], f"{where}.{key}")
    elif isinstance(mine, list):
        assert len(mine) == len(stored), where
        for i, value in enumerate(mine):
            same(value, stored[i], f"{where}[{i}]")
    elif isinstance(mine, float):
        assert stored == pytest.approx(mine, rel=1e-6, abs=1e-7), where
    else:
        assert mine == stored, where


@pytest.fixture(scope="module")
def made() -> dict[str, dict]:
    return json.loads(json.dumps(make_vectors.everything()))


@pytest.mark.parametrize("name", NAMES)
def test_stored_vectors_are_fresh(name: str, made: dict[str, dict]) -> None:
    stored = json.loads((make_vectors.FOLDER / name).read_text("utf-8"))
    same(made[name], stored, name)


def test_programs_hold_at_their_stored_optimum() -> None:
    """Read back as the phone reads them: within bounds, and no better point beside it."""
    cases = json.loads((make_vectors.FOLDER / "qp.json").read_text("utf-8"))["cases"]
    solved = [c for c in cases if c["status"] == "optimal"]
    assert len(solved) >= 30
    assert len(cases) - len(solved) >= 3
    for case in solved:
        h, f, x = (np.array(case[k]) for k in ("h", "f", "x"))
        slope = h @ x + f
        low, high = np.array(case["low"]), np.array(case["high"])
        free = (x > low + 1e-6) & (x < high - 1e-6)
        rows = np.array(case["a"]).reshape(-1, len(x)) @ x
        tight = np.isclose(rows, case["row_low"]) | np.isclose(rows, case["row_high"])
        a = np.array(case["a"]).reshape(-1, len(x))[tight]
        rest = slope[free]
        if len(a) and free.any():
            rest = rest - a[:, free].T @ np.linalg.lstsq(a[:, free].T, rest, rcond=None)[0]
        assert np.abs(rest).max(initial=0) < 1e-6
