"""Random requests for advice, from seeds: what a phone may ask in a shop of many frames."""

from collections.abc import Iterator
from random import Random
from typing import Any

from frames import advice
from tests.advice.screens import NINE, entry, state

Json = dict[str, Any]
SIDES = "ABCD"
PITCHES = (1.25, 1.411, 25.4 / 18, 1.5)
MESHES = (("polyester", 77, 48), ("polyester", 120, 34), ("stainless", 100, 40), ("other", 43, 80))
MIDDLE = [(0.5, 0.5)]
FIVE = [(0.5, 0.5), (0.2, 0.2), (0.8, 0.2), (0.8, 0.8), (0.2, 0.8)]
HANDLING = (("washed", {}), ("reclaimed", {"dry": True}), ("coated", {"emulsion": "any"}))


def frame(dice: Random, most: int = 16) -> Json:
    """Four to ``most`` bolts a side, evenly or nearly so."""
    a, b = dice.randrange(400, 1600, 50), dice.randrange(400, 2000, 50)
    count = {"A": dice.randint(4, most), "B": dice.randint(4, most)}
    count |= {"C": count["A"], "D": count["B"]} if dice.random() < 0.8 else {"C": 4, "D": 5}
    loose = dice.choice([0, 0, 0.3])
    bolts = {}
    for side in SIDES:
        share = (a if side in "AC" else b) / count[side]
        bolts[side] = [
            round(share * (i + 0.5 + dice.uniform(-loose, loose)), 1) for i in range(count[side])
        ]
    return {
        "profile": dice.choice(["plain_u", "ribbed_u", "boxed_u"]),
        "inside_a_mm": a,
        "inside_b_mm": b,
        "bolts": bolts,
        "pitch_mm": dice.choice(PITCHES),
        "step_48ths": dice.choice([8, 6, 3]),
    }


def names(frame: Json) -> list[str]:
    return [f"{side}{i + 1}" for side in SIDES for i in range(len(frame["bolts"][side]))]


def spots(dice: Random, level: float, spread: float = 1.0) -> list[Json]:
    """One, five or nine readings in half N/cm, now and then in one direction only."""
    places = dice.choice([MIDDLE, FIVE, NINE, NINE])
    ways = dice.choice(["both", "both", "both", "along", "across"])

    def read(way: str) -> float | None:
        value = round(2 * dice.gauss(level, spread)) / 2
        return None if ways not in ("both", way) else max(value, 1.0)

    return [
        {"u": u, "v": v, "along_a_n_per_cm": read("along"), "across_a_n_per_cm": read("across")}
        for u, v in places
    ]


def check(dice: Random, level: float, stencil: str = "bare") -> tuple[str, Json]:
    return "tension_check", {"stencil": stencil, "spots": spots(dice, level)}


def turns(dice: Random, frame: Json, most: int = 72) -> tuple[str, Json]:
    """All bolts about alike, or some here and there."""
    some = [n for n in names(frame) if dice.random() < dice.choice([1, 1, 0.3])]
    step, middle = frame["step_48ths"], dice.randint(0, most)
    turned = [
        {"bolt": n, "turn_48ths": step * round((middle + dice.randint(-8, 8)) / step)} for n in some
    ]
    return "bolt_turns", {"bolts": [t for t in turned if t["turn_48ths"]]}


def nipped(dice: Random, frame: Json) -> tuple[str, Json]:
    some = dice.sample(names(frame), dice.randint(0, 2))
    return "nipped_up", {
        "bolts": [{"bolt": n, "turn_48ths": dice.choice([0, frame["step_48ths"]])} for n in some]
    }


def stand_out(dice: Random, frame: Json) -> tuple[str, Json]:
    some = [n for n in names(frame) if n[0] in "AB" or dice.random() < 0.3]
    return "stand_out", {
        "bolts": [{"bolt": n, "stand_out_mm": round(dice.uniform(6, 9), 1)} for n in some]
    }


def log(dice: Random, frame: Json, target: float) -> list[Json]:
    """A mesh fitted, brought up in one to three rounds, handled in between."""
    steps: list[tuple[str, Json]] = [
        ("mesh_fitted", {"second_hand": dice.random() < 0.15}),
    ]
    rounds = dice.choice([0, 1, 1, 2, 2, 3])
    for i in range(rounds):
        steps.append(turns(dice, frame))
        if dice.random() < 0.6:
            steps.append(nipped(dice, frame))
        if dice.random() < 0.2:
            steps.append(stand_out(dice, frame))
        if dice.random() < 0.3:
            steps.append(dice.choice(HANDLING))
        steps.append(check(dice, target * (0.5 + 0.45 * (i + 1) / rounds)))
    if dice.random() < 0.2:
        steps.append(turns(dice, frame, 16))
    out = [entry(i * dice.randint(1, 3), *step) for i, step in enumerate(steps)]
    return sorted(out, key=lambda one: one["occurred_at"])


def adjusters(dice: Random) -> list[Json]:
    """Side guide and two at the foot, as many presses have, or some of them."""
    along = {"moves": "away", "mm_per_division": 0.25, "division": "turns"}
    all_ = [
        {"name": "side", "right": 1.0, "away": 0.5, "moves": "right", "mm_per_division": 0.1},
        {"name": "left foot", "right": 0.1, "away": -0.1, **along, "backlash": 0.5, "order": 1},
        {"name": "right foot", "right": 0.9, "away": -0.1, **along, "order": 2, "most": 1.5},
    ]
    return all_[: dice.randint(0, 3)]


def press(dice: Random) -> Json:
    sides = dice.sample(["near", "right", "far", "left"], dice.randint(0, 2))
    clamps = [{"side": side, "from_mm": dice.choice([None, 200]), "to_mm": 700} for side in sides]
    return {"clamps": clamps, "adjusters": adjusters(dice)}


def options(dice: Random, frame: Json, purpose: str) -> Json:
    hidden = dice.choice([None, [], dice.sample(names(frame), 3)])
    return {
        "purpose": purpose,
        "face": dice.choice(["squeegee", "print"]),
        "near": dice.choice(SIDES),
        "hidden": names(frame) if dice.random() < 0.02 else hidden,
        "override": dice.choice([None, None, "The customer waits."]),
        "step_48ths": dice.choice([None, None, 8, 6, 3]),
        "round_limit_48ths": dice.choice([None, None, None, 24, 48, 144]),
        "target_n_per_cm": None,
        "tolerance_n_per_cm": None,
        "first_round": dice.choice([None, None, True]),
        "where": None,
    }


def cap(dice: Random, target: float) -> float | None:
    """Far off, in the way of the plan, or now and then below the target."""
    return target - 1 if dice.random() < 0.04 else dice.choice([None, 40, target + 2, target + 0.5])


def broken(dice: Random, frame: Json) -> Json | None:
    some = dice.sample(names(frame), dice.choice([0, 0, 1, 2]))
    return {"bolts": {bolt: dice.choice(["seized", "broken"]) for bolt in some}} if some else None


def factors(dice: Random) -> Json:
    def one() -> Json:
        return {"mean": round(dice.uniform(0.7, 1.2), 3), "sd": 0.1, "count": 4}

    return {s: {q: one() for q in ("x", "y", "register")} for s in ("bare", "coated")}


def totals(dice: Random, frame: Json, since: list[Json]) -> Json:
    """What the screen's state says of such a log."""
    bolts: dict[str, int] = {}
    checks: dict[str, Json | None] = {"bare": None, "coated": None}
    last = None
    for one in since:
        for turned in one["payload"].get("bolts", []) if one["kind"] == "bolt_turns" else []:
            bolts[turned["bolt"]] = bolts.get(turned["bolt"], 0) + turned["turn_48ths"]
        if one["kind"] == "tension_check":
            spots = one["payload"]["spots"]
            last = {"id": one["id"], "at": one["occurred_at"], "spots": spots}
            checks[one["payload"]["stencil"]] = last
    some = dice.sample(names(frame), 4) if dice.random() < 0.5 else []
    left_in = {bolt: frame["step_48ths"] * dice.randint(-3, 3) for bolt in some}
    return {"turns": bolts, "checks": checks, "last_check": last, "register_turns": left_in}


def common(seed: int, purpose: str, most: int = 16) -> Json:
    """Everything but what one kind of question adds; the log as history, estimate or totals."""
    dice = Random(f"{purpose} {seed}")
    one, target = frame(dice, most), dice.choice([16.0, 20.0, 22.0, 25.0])
    material, count, thread = dice.choice(MESHES)
    since = log(dice, one, target)
    screen = state(
        target_n_per_cm=target,
        tolerance_n_per_cm=dice.choice([0.5, 1.0, 1.5]),
        stencil="exposed" if dice.random() < 0.12 else "bare",
        **totals(dice, one, since),
    )
    request = {
        "frame": one,
        "mesh": {
            "material": material,
            "count_per_cm": count,
            "thread_um": thread,
            "cap_n_per_cm": cap(dice, target),
        },
        "shop": dice.choice([None, {"round_limit_48ths": 96, "stencil_move_limit_mm": 0.5}]),
        "press": dice.choice([None, press(dice)]),
        "screen": screen,
        "frame_state": broken(dice, one),
        "estimate": None,
        "since": since,
        "readings": spots(dice, target - 3) if dice.random() < 0.25 else None,
        "options": options(dice, one, purpose),
    }
    return split(dice, request)


def split(dice: Random, request: Json) -> Json:
    """The same log as it stands, or behind an estimate, or in totals alone."""
    way = dice.choice(["history", "estimate", "estimate", "totals"])
    if way == "totals":
        return request | {"since": None}
    if way == "history":
        return request
    body = advice.estimate(request | {"seq": 7, "factors": dice.choice([None, factors(dice)])})
    ids = [one["id"] for one in request["since"]]
    known = ids.index(body["after"]) + 1 if body["after"] else 0
    return request | {"estimate": body, "since": request["since"][known:]}


def marks(dice: Random, places: list[tuple[float, float]], error: Json, noise: float) -> list[Json]:
    """What a screen of this error shows at the places, in steps of 0.01 mm."""
    out = []
    for u, v in places:
        dx = error["x"] + error["twist"] * (0.5 - v) + error["long_x"] * (u - 0.5)
        dy = error["y"] + error["twist"] * (u - 0.5) + error["long_y"] * (v - 0.5)
        dx, dy = (round(dice.gauss(d, noise), 2) for d in (dx, dy))
        out.append({"u": u, "v": v, "dx_mm": dx, "dy_mm": dy})
    return out


def register_request(seed: int) -> Json:
    request = common(seed, "register", 12 if seed % 8 else 16)
    dice = Random(f"marks {seed}")
    corners = [(0.15, 0.15), (0.85, 0.85), (0.85, 0.15), (0.15, 0.85), (0.5, 0.1), (0.5, 0.9)]
    places = corners[: dice.randint(2, 6)]
    size = dice.choice([0.03, 0.15, 0.3, 0.6])
    error = {name: dice.gauss(0, size) for name in ("x", "y", "twist", "long_x", "long_y")}
    noise = dice.choice([0.0, 0.02, 0.2])
    key = marks(dice, places, {**error, "x": 0, "y": 0, "twist": 0}, 0.01)
    return request | {
        "pulls": [marks(dice, places, error, noise) for _ in range(dice.choice([1, 3, 5]))],
        "key_marks": dice.choice([[], [], key]),
        "tolerance_mm": dice.choice([None, 0.05, 0.2]),
        "eye": dice.choice(["loupe", "naked"]),
        "bolts_wanted": dice.choice([None, None, 4]),
    }


def what_if_request(seed: int) -> Json:
    request = common(seed, "retension", 12)
    dice = Random(f"turns {seed}")
    _, asked = turns(dice, request["frame"], 120)
    return request | {"turns": asked["bolts"], "model": "strip"}


def faulty() -> Iterator[tuple[str, Json]]:
    """Requests that cannot be answered, each with another slip in it."""
    good = common(1, "retension", 6)
    for key in ("frame", "mesh", "screen"):
        yield "tension", good | {key: None}
    for change in ({"pitch_mm": 9}, {"inside_a_mm": 20}, {"step_48ths": 5}, {"bolts": {}}):
        yield "tension", good | {"frame": good["frame"] | change}
    crossed = good["frame"]["bolts"] | {"A": [200, 100]}
    yield "even_up", good | {"frame": good["frame"] | {"bolts": crossed}}
    for change in ({"hidden": ["E1"]}, {"face": "back"}, {"near": "E"}, {"target_n_per_cm": 500}):
        yield "tension", good | {"options": good["options"] | change}
    spot = {"u": 0.5, "v": 0.5}
    for told in (spot, spot | {"along_a_n_per_cm": -1}, {"u": 2, "v": 0, "along_a_n_per_cm": 9}):
        yield "tension", good | {"readings": [told]}
    short = {"factors": factors(Random(2)), "mean": [1.0], "sd": [], "root": []}
    yield "what_if", good | {"estimate": short | {"bar_mm": [], "draw_mm": []}}
    marked = register_request(3)
    for change in ({"pulls": []}, {"pulls": [[]]}, {"eye": "camera"}, {"tolerance_mm": 99}):
        yield "register", marked | change
    two = [adjusters(Random(5))[0]] * 2
    yield "register", register_request(30) | {"press": {"clamps": [], "adjusters": two}}
    far = two[0] | {"right": 9}
    yield "register", register_request(30) | {"press": {"clamps": [], "adjusters": [far]}}


def questions() -> Iterator[tuple[str, Json]]:
    """Question and request, 600 of them that can be answered."""
    for seed in range(330):
        most = 16 if seed % 10 == 0 else 9
        yield "tension", common(seed, "stretch" if seed % 3 == 0 else "retension", most)
    for seed in range(150):
        yield "register", register_request(seed)
    for seed in range(40):
        yield "even_up", common(seed, "even_up", 10)
        yield "what_if", what_if_request(seed)
        yield "corners", common(3 * seed, "stretch", 9)
