"""Writes the vectors by which folding, conditions and codes agree in Python and JavaScript.

Run `python -m tests.vectors.generate` after a change of rules; a test compares files and code.
"""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from frames.codes import format_code
from frames.conditions import condition
from frames.folding import fold
from frames.times import utc_text
from tests.log.making import DAY_MS, START_MS, Maker
from tests.vectors.cases import LIVES

HERE = Path(__file__).parent
Json = dict[str, Any]
SHOP = {"recent_days": 7, "spread_limit_n_per_cm": 3}


def fold_cases() -> Iterator[Json]:
    for name, (life, count) in LIVES.items():
        for seed in range(count):
            entries = life(Maker(seed, frames=1 + seed % 2))
            yield {"name": f"{name} {seed}", "entries": entries, "state": fold(entries)}


def condition_cases() -> Iterator[Json]:
    """Screens of the most different kinds, looked at now, at the last minute, and too late."""
    for seed in range(40):
        maker = Maker(seed)
        frame = maker.frames[0]
        entries = [maker.fit(frame)]
        if seed % 8:
            entries.append(maker.on(frame, "tension_check"))
        (screen,) = fold(entries)["screens"].values()
        shop = SHOP | {"recent_days": 1 + seed % 7}
        limit = START_MS + shop["recent_days"] * DAY_MS
        if screen["last_check"]:
            middle = screen["last_check"]["mean"]
            screen |= {"target_n_per_cm": middle, "tolerance_n_per_cm": 1 + seed % 5 * 2}
        for now in (START_MS, limit, limit + 1):
            said = condition(screen, shop, now)
            yield {"screen": screen, "shop": shop, "now": now, "condition": said}
        yield from forecast_cases(screen, shop, seed)


def forecast_cases(screen: Json, shop: Json, seed: int) -> Iterator[Json]:
    """The same screen with a forecast, around the end of its rest and of its tolerance."""
    check = screen["last_check"]
    if not check:
        return
    rest, leaves = START_MS + (seed - 8) * 3_600_000, START_MS + (seed % 12) * DAY_MS - 1
    forecast = {
        "after": (check["id"], None, "another check")[seed % 3],
        "turned_at": utc_text(START_MS + (seed % 2) * DAY_MS),
        "rest_limit_n_per_cm": 0.5,
        "resting_until": {"at": None if seed % 5 == 4 else utc_text(rest)},
        "in_tolerance_until": {"at": None if seed % 7 == 6 else utc_text(leaves)},
    }
    ahead = shop if seed % 4 else shop | {"look_ahead_days": 3}
    for now in (START_MS, rest, rest - 1, START_MS + DAY_MS):
        said = condition(screen, ahead, now, forecast)
        case = {"screen": screen, "shop": ahead, "now": now, "forecast": forecast}
        yield case | {"condition": said}


def code_cases() -> Iterator[Json]:
    for prefix in ("F", "K", "SB", "XYZ"):
        for number in (0, 1, 7, 36, 417, 999, 1000, 9999, 10000, 123456, 987654321):
            yield {"prefix": prefix, "number": number, "code": format_code(prefix, number)}


def files() -> dict[str, str]:
    folds = {"fold": list(fold_cases()), "conditions": list(condition_cases())}
    return {"fold.json": _text(folds), "codes.json": _text({"codes": list(code_cases())})}


def _text(groups: dict[str, list[Json]]) -> str:
    """One case a line, so that a change shows which cases it touches."""
    parts = []
    for name, cases in groups.items():
        lines = ",\n".join(json.dumps(case, separators=(",", ":")) for case in cases)
        parts.append(f'"{name}":[\n{lines}\n]')
    return "{" + ",\n".join(parts) + "}\n"


if __name__ == "__main__":
    for name, text in files().items():
        (HERE / name).write_text(text, encoding="utf-8")
