"""Hand-worked lives: what exactly comes of them."""

import pytest

from frames.folding import fold, run
from tests.log.making import DAY_MS, MINUTE_MS, START_MS, Frame, Maker

VIEW = {"face": "squeegee", "near": "A"}


@pytest.fixture
def maker() -> Maker:
    return Maker(1)


@pytest.fixture
def frame(maker: Maker) -> Frame:
    return maker.frames[0]


def later(maker: Maker, minutes: int = 1) -> None:
    maker.now_ms += minutes * MINUTE_MS


def turns(purpose: str, **bolts: int) -> dict:
    listed = [{"bolt": bolt, "turn_48ths": turn} for bolt, turn in bolts.items()]
    return {"purpose": purpose, **VIEW, "bolts": listed, "plan": None}


def only(rows: dict) -> dict:
    (row,) = rows.values()
    return row


def test_turns_add_up_and_those_for_register_stay_until_evened_up(
    maker: Maker, frame: Frame
) -> None:
    log = [maker.fit(frame)]
    for payload in (
        turns("stretch", A1=96, B2=96),
        turns("retension", A1=8),
        turns("register", B2=-16, C3=8),
    ):
        later(maker)
        log.append(maker.on(frame, "bolt_turns", payload=payload))
    log.append(maker.on(frame, "nipped_up", payload={"bolts": [{"bolt": "A1", "turn_48ths": 4}]}))
    log.append(maker.on(frame, "reclaimed"))
    screen = only(fold(log)["screens"])
    assert screen["turns"] == {"A1": 108, "B2": 80, "C3": 8}
    assert screen["register_turns"] == {"B2": -16, "C3": 8}
    assert (screen["retensions"], screen["reclaims"]) == (1, 1)
    log.append(maker.on(frame, "bolt_turns", payload=turns("even_up", B2=16, C3=-8)))
    screen = only(fold(log)["screens"])
    assert screen["turns"] == {"A1": 108, "B2": 96, "C3": 0}
    assert screen["register_turns"] == {}


def test_a_check_is_summed_up_over_its_spots(maker: Maker, frame: Frame) -> None:
    spots = [
        {"u": 0.5, "v": 0.5, "along_a_n_per_cm": 20, "across_a_n_per_cm": 21},
        {"u": 0.2, "v": 0.2, "along_a_n_per_cm": 18, "across_a_n_per_cm": None},
        {"u": 0.8, "v": 0.8, "along_a_n_per_cm": None, "across_a_n_per_cm": 22.25},
    ]
    payload = {"meter": None, **VIEW, "stencil": "coated", "spots": spots}
    log = [maker.fit(frame), maker.on(frame, "tension_check", payload=payload)]
    screen = only(fold(log)["screens"])
    check = screen["checks"]["coated"]
    # spot means 20.5, 18 and 22.25; their mean 60.75 / 3
    assert (check["low"], check["high"], check["mean"], check["spread"]) == (18, 22.25, 20.25, 4.25)
    assert screen["checks"]["bare"] is None
    assert screen["last_check"] == check


def test_the_stencil_goes_its_way(maker: Maker, frame: Frame) -> None:
    log, seen = [maker.fit(frame)], []
    job, colour = maker.one("job"), maker.one("colour")
    for kind, payload in (
        ("coated", {"note": ""}),
        ("exposed", {"job": job, "colour": colour}),
        ("inspected", {"passed": False, "note": "pinholes"}),
        ("inspected", {"passed": True, "note": ""}),
        ("washed", {"note": ""}),
        ("reclaimed", {"note": ""}),
    ):
        later(maker)
        log.append(maker.on(frame, kind, payload=payload))
        screen = only(fold(log)["screens"])
        seen.append((screen["stencil"], screen["job"], screen["colour"]))
    assert seen == [
        ("coated", None, None),
        ("exposed", job, colour),
        ("exposed", job, colour),
        ("inspected", job, colour),
        ("inspected", job, colour),
        ("bare", None, None),
    ]


def test_impressions_are_counted_per_stencil(maker: Maker, frame: Frame) -> None:
    log = [maker.fit(frame)]

    def printed(mode: str, count: int) -> int:
        later(maker)
        payload = {"mode": mode, "count": count, "job": None, "colour": None}
        log.append(maker.on(frame, "impressions", payload=payload))
        return only(fold(log)["screens"])["impressions"]

    assert [printed("added", 100), printed("counter", 250), printed("counter", 240)] == [
        100,
        250,
        250,
    ]
    assert printed("added", 50) == 300
    later(maker)
    log.append(maker.on(frame, "exposed"))
    assert printed("counter", 30) == 30


def test_tweaks_stay_open_until_someone_looks(maker: Maker, frame: Frame) -> None:
    log = [maker.fit(frame)]
    for _ in range(2):
        later(maker)
        log.append(maker.on(frame, "register_tweak"))
    first, second = frame.tweaks
    later(maker)
    after = {"tweak": first, "marks": [], "verdict": "better"}
    log.append(maker.on(frame, "after_marks", payload=after))
    tweaks = only(fold(log)["screens"])["tweaks"]
    assert (tweaks["count"], tweaks["open"]) == (2, [second])
    assert (tweaks["last"]["id"], tweaks["last"]["verdict"]) == (second, None)
    log.append(maker.on(frame, "cause_found", payload={"tweak": second, "cause": "lays"}))
    assert only(fold(log)["screens"])["tweaks"]["last"]["cause"] == "lays"


def test_a_burst_mesh_stays_on_until_it_is_taken_off(maker: Maker, frame: Frame) -> None:
    log = [maker.fit(frame)]
    later(maker)
    log.append(maker.on(frame, "burst"))
    state = fold(log)
    assert only(state["frames"])["awaiting_removal"] is True
    assert only(state["screens"])["ended"]["how"] == "burst"
    later(maker)
    log.append(maker.on(frame, "mesh_removed"))
    state = fold(log)
    assert only(state["frames"])["awaiting_removal"] is False
    assert only(state["frames"])["screen"] is None
    assert only(state["screens"])["ended"]["how"] == "burst"


def test_a_new_mesh_replaces_the_old_one(maker: Maker, frame: Frame) -> None:
    first = maker.fit(frame)
    later(maker)
    second = maker.fit(frame)
    state = fold([first, second])
    assert only(state["frames"])["screen"] == second["id"]
    assert state["screens"][first["id"]]["ended"]["how"] == "replaced"
    assert state["screens"][second["id"]]["ended"] is None


def test_entries_about_a_mesh_not_yet_fitted_wait_for_it(maker: Maker, frame: Frame) -> None:
    fitted = maker.fit(frame)
    checks = [maker.on(frame, "tension_check"), maker.on(frame, "bolt_turns")]
    for minutes, entry in enumerate(checks, 1):
        entry["clock_offset_ms"] -= (10 - minutes) * MINUTE_MS
    waiting = run(checks)
    assert waiting["waiting"] == {frame.id: {fitted["id"]: checks}}
    assert waiting["screens"] == {}
    state = fold([fitted, *checks])
    assert run([*checks, fitted])["waiting"] == {frame.id: {}}
    assert only(state["screens"])["last_check"]["id"] == checks[0]["id"]
    assert only(state["screens"])["last"]["kind"] == "mesh_fitted"


def test_a_late_entry_takes_its_place_in_time(maker: Maker, frame: Frame) -> None:
    log = [maker.fit(frame)]
    later(maker, 10)
    old = maker.on(frame, "tension_check")
    later(maker, 10)
    log.append(maker.on(frame, "tension_check"))
    screen = only(fold([*log, old])["screens"])
    assert screen["last_check"]["id"] == log[-1]["id"]


def test_seized_bolts_outlive_the_mesh(maker: Maker, frame: Frame) -> None:
    log = [
        maker.fit(frame),
        maker.on(frame, "bolt_state", payload={"bolt": "B4", "state": "seized"}),
    ]
    later(maker)
    log.append(maker.fit(frame))
    assert only(fold(log)["frames"])["bolts"] == {"B4": "seized"}
    log.append(maker.on(frame, "bolt_state", payload={"bolt": "B4", "state": "freed"}))
    assert only(fold(log)["frames"])["bolts"] == {}


def test_a_scrapped_frame_ends_its_screen(maker: Maker, frame: Frame) -> None:
    gone = {"to": "scrapped", "rack": None, "press": None, "station": None}
    log = [maker.fit(frame), maker.on(frame, "moved", payload=gone)]
    state = fold(log)
    assert only(state["frames"])["place"]["to"] == "scrapped"
    assert only(state["screens"])["ended"]["how"] == "scrapped"


def test_a_second_hand_screen_is_trusted_once_measured(maker: Maker, frame: Frame) -> None:
    fitted = maker.fit(frame)
    fitted["payload"]["second_hand"] = True
    assert only(fold([fitted])["screens"])["trusted"] is False
    log = [fitted, maker.on(frame, "stand_out")]
    assert only(fold(log)["screens"])["trusted"] is True


def test_times_are_told_by_the_server_s_clock(maker: Maker, frame: Frame) -> None:
    maker.phones[0].offset_ms = maker.phones[1].offset_ms = DAY_MS
    screen = only(fold([maker.fit(frame)])["screens"])
    assert screen["fitted_at"] == "2025-11-24T16:00:00.000Z"
    assert START_MS == 1_764_000_000_000


def test_a_meter_s_last_zero_is_kept(maker: Maker) -> None:
    first = maker.zeroed()
    later(maker)
    second = maker.zeroed() | {"subject": first["subject"]}
    second["payload"] = {"zero_n_per_cm": 0.5, "note": ""}
    meter = only(fold([second, first])["meters"])
    assert (meter["meter"], meter["zero_n_per_cm"]) == (first["subject"]["id"], 0.5)
