"""The relaxation model against scipy on the same data, and its rules one by one."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import lsq_linear, minimize
from scipy.stats import multivariate_t

from frames.mechanics import InputFault, Seen, Segment, Step, before_any_log, forecast, pool
from frames.mechanics import pooling as pooling_module
from frames.mechanics.forecasting import Forecast, _none
from frames.mechanics.jumps import FREEDOM, JUMP_SD, Shift, columns_of, next_shift
from frames.mechanics.pooling import Pool
from frames.mechanics.relaxation import COLUMNS, curve, log_time, rows_of

BARE = [(0.1, 22.0), (1, 21.1), (16, 20.4), (40, 20.1), (200, 19.3), (500, 19.2)]


def segment(points: list[tuple[float, float]], **more: object) -> Segment:
    return Segment("90-48", 20, 0, [Seen(t, v, 0.3) for t, v in points], **more)


def knowing_nothing(*free: str) -> Pool:
    """A pool that leaves the named coefficients open and holds the others at zero."""
    pool = before_any_log()
    own = np.array([1e6 if n in free else 0.0 for n in COLUMNS])
    fixed = np.zeros((len(pool.mean), len(pool.mean)))
    return replace(
        pool, mean=0 * pool.mean, covariance=fixed, own=own, wander=np.zeros(len(pool.wander))
    )


@pytest.mark.parametrize("rising", [False, True])
def test_with_an_open_mind_it_is_bounded_least_squares(rising: bool) -> None:
    values = [(t, 20 + (1 if rising else -1) * (v - 20)) for t, v in BARE]
    s = segment(values, printed=[(30, 400), (100, 900), (300, 900)])
    found = forecast(s, knowing_nothing("level", "time", "prints"))
    columns = curve(s, rows_of(s))[:, [0, 1, 5]]
    exact = lsq_linear(columns, s.off_target, ([-np.inf, 0, 0], np.inf), tol=1e-12)
    assert found.shifts == ()
    assert found.curve_now()[0][[0, 1, 5]] == pytest.approx(exact.x, abs=2e-4)


def test_bands_of_the_first_check_are_the_prior_of_the_shop() -> None:
    usual = before_any_log()
    band = Forecast(segment([]), usual).ahead([1.0], share=0.8, noise_sd=0)
    mean, covariance = usual.usual_curve(segment([]))
    row = curve(segment([]), Forecast(segment([]), usual).moments([1.0]))[0]
    assert band.mean[0] == pytest.approx(20 + row @ mean)
    assert (band.high - band.low)[0] > 2 * np.sqrt(row @ covariance @ row)


def test_readings_of_the_first_two_minutes_are_left_out() -> None:
    early = Segment("90-48", 20, 0, [Seen(0.02, 30.0), Seen(0.2, 20.0)])
    assert [s.n_per_cm for s in early.seen] == [20.0]


def test_checks_out_of_order_are_refused() -> None:
    with pytest.raises(InputFault, match="Sort the checks"):
        segment([(5, 20), (1, 21)])


def test_coating_and_reclaim_are_no_jump() -> None:
    """Bare 21.0, coated 22.5, reclaimed 19.5."""
    seen = [Seen(20, 21.0), Seen(30, 22.5, coated=True), Seen(60, 19.5)]
    s = Segment("90-48", 21, 0, seen, [Step(25, "coated"), Step(55, "reclaimed")])
    assert forecast(s, before_any_log()).shifts == ()


@pytest.mark.parametrize(("fell", "lasting"), [([0, 0, 4, 4], True), ([0, 0, 4, 0], False)])
def test_a_jump_is_called_out_and_not_averaged_in(fell: list[float], lasting: bool) -> None:
    late = [19.6, 19.5, 19.5, 19.4]
    hours = [400, 500, 600, 700]
    points = BARE[:5] + [(h, v - f) for h, v, f in zip(hours, late, fell, strict=True)]
    found = forecast(segment(points), before_any_log())
    assert [(s.index, s.lasting) for s in found.shifts] == [(7, lasting)]
    assert found.shifts[0].n_per_cm == pytest.approx(-4, abs=0.7)
    assert found.ahead([800]).mean[0] == pytest.approx(19.3 - fell[-1], abs=0.5)


def test_gain_of_a_jump_is_the_likelihood_ratio_of_scipy() -> None:
    found = Forecast(segment([*BARE, (600, 15.0), (700, 15.2)]), before_any_log())
    usual, joint = found._joint(_none())
    gap = found.segment.off_target - usual

    def log_likelihood(covariance: np.ndarray) -> float:
        return multivariate_t(shape=covariance, df=FREEDOM).logpdf(gap)

    best = None
    tried = [Shift(i, 0.0, lasting) for i in range(1, 7) for lasting in (True, False)]
    for shift in [*tried, Shift(7, 0.0, None)]:
        v = columns_of([shift], 8)
        gain = log_likelihood(joint + JUMP_SD**2 * v @ v.T) - log_likelihood(joint)
        if best is None or gain > best[0]:
            best = (gain, shift)
    chosen = next_shift(gap, joint, ())
    assert best is not None
    assert chosen is not None
    assert (chosen.index, chosen.lasting) == (best[1].index, best[1].lasting) == (6, True)


def test_two_meters_are_told_apart() -> None:
    r = np.random.default_rng(1)
    segments = []
    for _ in range(40):
        start = 22 + r.normal(0, 0.5)
        seen = [
            Seen(t, start - 0.3 * log_time(t) + bias + r.normal(0, 0.3), 0.3, False, meter)
            for t, meter, bias in ((0.2, "one", 0.4), (20, "two", -0.4), (90, "one", 0.4))
        ]
        segments.append(Segment("90-48", 20, 0, seen))
    usual = pool(segments)
    assert usual.bias("one")[0] - usual.bias("two")[0] == pytest.approx(0.8, abs=0.2)


def test_losses_shrink_with_each_retension_where_they_do() -> None:
    hours = (0.2, 16, 90, 300)
    segments = [
        Segment("90-48", 20, k, [Seen(t, 21 - (0.4 - 0.1 * k) * log_time(t), 0.3) for t in hours])
        for k in (0, 1, 2)
        for _ in range(15)
    ]
    usual = pool(segments)
    slopes = [usual.usual_curve(replace(segments[0], retensions=k))[0][1] for k in (0, 1, 2)]
    assert slopes[0] > slopes[1] > slopes[2]


def test_variances_settle_where_scipy_finds_the_best(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without heavy tails the rule climbs the penalised normal likelihood: scipy gets no higher."""
    monkeypatch.setattr(pooling_module, "FREEDOM", 1e9)
    r = np.random.default_rng(3)
    segments = [
        segment([(t, 21 + r.normal(0, 0.6) - 0.3 * log_time(t)) for t in (0.2, 5, 60, 300)])
        for _ in range(25)
    ]
    prior = pooling_module._prior(("90-48",), ())
    pieces = [pooling_module._piece(prior, s) for s in segments]
    ours = pool(segments, rounds=400)
    start = np.concatenate([prior.own, prior.wander])

    def objective(logs: np.ndarray) -> float:
        variances = np.exp(logs)
        total = pooling_module.BELIEF * float(np.sum(logs + start / variances))
        for p in pieces:
            joint = np.tensordot(variances, p.parts, 1) + p.noise
            gap = p.off_target - p.fixed @ ours.mean
            total += float(np.linalg.slogdet(joint)[1] + gap @ np.linalg.solve(joint, gap))
        return total

    at = np.log(np.concatenate([ours.own, ours.wander]))
    better = minimize(objective, at, method="L-BFGS-B", options={"maxiter": 60})
    assert objective(at) - better.fun < 0.02
