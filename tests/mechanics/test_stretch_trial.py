"""A few seeded stretches; all of them by `python -m tests.mechanics.trial_stretch`."""

import numpy as np

from tests.mechanics.trial_stretch import CAP, guided, staged, trial

PER_LAYOUT = 1


def test_the_phone_brings_every_slack_mesh_to_tolerance_and_gentler_than_the_staged_rule() -> None:
    ours, rule = trial(guided, PER_LAYOUT), trial(staged, PER_LAYOUT)
    assert all(one.rounds is not None for one in ours)
    assert max(one.largest for one in ours) < CAP
    assert np.median([one.largest for one in ours]) < np.median([one.largest for one in rule])
    assert np.median([one.spread for one in ours]) <= np.median([one.spread for one in rule])
