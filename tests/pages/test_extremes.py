"""Whatever the log takes, the rounds of deriving end and every page opens.

Entries of any phone are stored if each for itself is one that could be: together they may say what
no frame can be. Random tests print their seed.
"""

from typing import Any

import pytest
from django.test import Client
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from frames import derived
from frames.models import Frame, Job, Meter, ScreenState
from tests.pages.floor import VIEW, Floor

EXAMPLES = 6  # of some thirty pages each
DAYS = st.sampled_from([1, 5, 29])
TIMES = st.one_of(
    st.builds("2026-10-{:02d}T{:02d}:{:02d}:00.000+00:00".format, DAYS, st.integers(0, 23), DAYS),
    st.sampled_from(
        [
            "1970-01-01T00:00:00.000+00:00",
            "1970-01-01T00:00:00.000+14:00",
            "2200-12-31T23:59:59.999+00:00",
            "2200-12-31T23:59:59.999-12:00",
        ]
    ),
)
CENTURY_MS = 100 * 366 * 86_400_000
OFFSETS = st.sampled_from([0, 0, 0, 60_000, CENTURY_MS, -CENTURY_MS])
TENSIONS = st.sampled_from([1e-300, 0.001, 21.0, 22.5, 149.999, 150])
TOLERANCES = st.sampled_from([1e-300, 1.5, 50])
PLACES = st.sampled_from([0, 1e-300, 0.2, 0.5, 0.9999999, 1])
BOLTS = st.sampled_from(["A1", "A2", "A3", "B1", "C2", "D2", "D99"])
TURNS = st.sampled_from([-480, -8, 0, 8, 480])
COUNTS = st.sampled_from([0, 1, 10**8])
MILLIMETRES = st.sampled_from([-50, -0.1, 0, 0.1, 50])


def turned(least: int = 1) -> st.SearchStrategy:
    one = st.fixed_dictionaries({"bolt": BOLTS, "turn_48ths": TURNS})
    return st.lists(one, min_size=least, max_size=6)


def spots() -> st.SearchStrategy:
    ways = ("along_a_n_per_cm", "across_a_n_per_cm")
    some = [st.fixed_dictionaries({"u": PLACES, "v": PLACES, way: TENSIONS}) for way in ways]
    both = st.fixed_dictionaries({"u": PLACES, "v": PLACES} | dict.fromkeys(ways, TENSIONS))
    return st.lists(st.one_of(both, *some), min_size=1, max_size=30)


def marks() -> st.SearchStrategy:
    one = {"u": PLACES, "v": PLACES, "dx_mm": MILLIMETRES, "dy_mm": MILLIMETRES}
    return st.lists(st.fixed_dictionaries(one), max_size=9)


def band() -> st.SearchStrategy:
    return st.just({"value": 300, "low": -150, "high": -150})


def payload(**fields: st.SearchStrategy) -> st.SearchStrategy:
    return st.fixed_dictionaries(fields)


SEEN = {key: st.just(value) for key, value in VIEW.items()}
AIMS = {"target_n_per_cm": TENSIONS, "tolerance_n_per_cm": TOLERANCES}
NOTED = payload(note=st.just(""))
FORETOLD = payload(u=PLACES, v=PLACES, along_a=band(), across_a=band())
KINDS: dict[str, st.SearchStrategy] = {
    "target_set": payload(**AIMS),
    "tension_check": payload(
        spots=spots(), stencil=st.sampled_from(["bare", "bare", "coated"]), **SEEN
    ),
    "bolt_turns": payload(
        purpose=st.sampled_from(["stretch", "retension", "register", "even_up"]),
        bolts=turned(),
        **SEEN,
    ),
    "register_tweak": payload(bolts=turned(0), seen=st.just("skipped"), marks=marks(), **SEEN),
    "turn_plan": payload(
        purpose=st.just("stretch"),
        bolts=turned(),
        predicted=st.lists(FORETOLD, max_size=3),
        status=st.just("x"),
        **SEEN,
    ),
    "nipped_up": payload(bolts=turned(0)),
    "bolt_state": payload(bolt=BOLTS, state=st.sampled_from(["seized", "broken", "freed"])),
    "stand_out": payload(
        bolts=st.lists(payload(bolt=BOLTS, stand_out_mm=st.sampled_from([-20, 0, 100])), max_size=9)
    ),
    "impressions": payload(mode=st.sampled_from(["counter", "added"]), count=COUNTS),
    "burst": payload(where=st.just("middle"), u=PLACES, impressions=COUNTS),
    **dict.fromkeys(("coated", "washed", "reclaimed"), NOTED),
}
OFTEN = ["tension_check"] * 6 + ["bolt_turns"] * 3 + ["register_tweak"] * 3
ENTRY = st.sampled_from([*OFTEN, *KINDS]).flatmap(
    lambda kind: st.tuples(st.just(kind), KINDS[kind], TIMES, OFFSETS, st.booleans())
)
LOGS = st.lists(ENTRY, min_size=5, max_size=60)
PAGES = ("", "plan/", "what-if/", "what-if/?bolts=A1+%2B1")
ZERO = payload(zero_n_per_cm=st.sampled_from([-50, 0, 0.6, 50]))


def send(floor: Floor, frames: list[Frame], log: list[tuple], zero: dict, aims: dict) -> None:
    """The log on the first frame or the second, each with a mesh; readings with one meter."""
    fitted = []
    for frame in frames:
        mesh = {"mesh": str(floor.mesh.pk), "warp": "x", **aims}
        fitted.append(floor.tell("mesh_fitted", mesh, frame, hours=9000))
    made = []
    for kind, body, at, offset, on_first in log:
        about = 0 if on_first else 1
        if kind == "tension_check":
            body = body | {"meter": str(floor.meter.pk)}
        if kind == "register_tweak":
            body = body | {"job": str(floor.job.pk), "press": str(floor.press.pk)}
        told = {"screen": fitted[about]["id"], "occurred_at": at, "clock_offset_ms": offset}
        made.append(floor.entry(kind, body, frames[about], **told))
        if kind == "register_tweak":
            after = {"tweak": made[-1]["id"], "marks": body["marks"][::-1]}
            made.append(floor.entry("after_marks", after, frames[about], **told))
    subject = {"kind": "meter", "id": str(floor.meter.pk)}
    made.append(
        floor.entry("meter_zeroed", zero, frames[0], screen=fitted[0]["id"], subject=subject)
    )
    floor.send(made)


def addresses(frames: list[Frame]) -> list[str]:
    own = [f"/office/frames/{f.pk}/{page}" for f in frames for page in PAGES]
    screens = [s.pk for s in ScreenState.objects.filter(frame__in=[f.pk for f in frames])]
    return [
        *own,
        *(f"/office/frames/screens/{pk}/" for pk in screens),
        *(f"/office/shop/meters/{meter.pk}/page/" for meter in Meter.objects.all()),
        *(f"/office/jobs/{job.pk}/{page}" for job in Job.objects.all() for page in ("", "set/")),
        *("/office/", "/office/frames/", "/office/figures/", "/office/plans/"),
        *("/office/plans/learned/", "/office/screen-room/", "/office/log/"),
    ]


@pytest.fixture
def forgiving(mara: Client) -> Client:
    """Answers 500 where a page fails, so that the address can be told."""
    mara.raise_request_exception = False
    return mara


@settings(
    max_examples=EXAMPLES,
    deadline=None,
    print_blob=True,
    # each try opens every page: to make a failing log shorter would take longer than to read it
    phases=[Phase.explicit, Phase.reuse, Phase.generate],
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(log=LOGS, zero=ZERO, aims=payload(**AIMS))
def test_no_log_stops_the_rounds_or_a_page(
    floor: Floor, forgiving: Client, log: list[tuple], zero: dict, aims: dict[str, Any]
) -> None:
    number = 1 + Frame.objects.count()
    frames = [floor.frame(number), floor.frame(number + 1)]
    send(floor, frames, log, zero, aims)
    place, _ = derived.follow_up(None)
    assert derived.follow_up(place)[0] >= place
    failed = [address for address in addresses(frames) if forgiving.get(address).status_code != 200]
    assert failed == []
