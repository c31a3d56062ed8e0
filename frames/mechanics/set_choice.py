"""Sets of a shop: which screens fit which colour, the next best set, what to retension."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from frames.wording import mark, say, written

from .faults import InputFault, number
from .sets import NEVER, MatchedSet, match, nearest

SPREAD_LIMIT = 2.0  # between the screens of a set, N/cm (common practice, no source)
Fits = Mapping[str, Sequence[str]]
SPAN = 1  # most by which retension counts of a set differ


@dataclass(frozen=True)
class Wanted:
    """A colour: ``mesh``, inside ``size`` (None: the same for all colours, whichever), and the
    ``stored`` screen whose stencil is this very colour, which is never swapped."""

    colour: str
    mesh: str
    size: str | None = None
    stored: str | None = None


@dataclass(frozen=True)
class Candidate:
    """A screen: forecast tension less its own target on the print date; ``stencil`` on it;
    ``blocked``: a sentence why it cannot be used at all (clamps, repair, uneven), or None."""

    screen: str
    mesh: str
    size: str
    deviation_n_per_cm: float
    retensions: int = 0
    stencil: bool = False
    blocked: str | None = None

    def __post_init__(self) -> None:
        number("deviation_n_per_cm", self.deviation_n_per_cm, -150, 150, "Enter N/cm off target")


@dataclass(frozen=True)
class SetChoice:
    """``best`` set and whether it ``passes`` the spread limit; ``runner_up``: the best that
    differs; ``left_out``: screen -> why; ``retension``: fewest screens to bring to their targets
    so that a set passes, with ``after`` that set, both empty if none is needed or none would do."""

    best: MatchedSet
    passes: bool
    runner_up: MatchedSet | None
    left_out: dict[str, str]
    retension: tuple[str, ...]
    after: dict[str, str]
    message: str


def choose(
    wanted: Sequence[Wanted],
    screens: Sequence[Candidate],
    spread_limit: float = SPREAD_LIMIT,
    span: int | None = SPAN,
) -> SetChoice:
    """The set of a job with the least spread, exact, and all that is to be said about it.

    >>> rack = [Candidate("F1", "90", "M", 0.0), Candidate("F2", "90", "M", -0.4)]
    >>> rack += [Candidate("F3", "90", "M", -2.6), Candidate("F4", "43", "M", 0.1)]
    >>> c = choose([Wanted("red", "90"), Wanted("blue", "90")], rack)
    >>> c.best.screens, c.passes, c.left_out["F3"]
    ({'red': 'F1', 'blue': 'F2'}, True, 'It would widen the spread to 2.2 N/cm.')
    """
    _check(wanted, screens)
    by_name = {s.screen: s for s in screens}
    fits = _fits(wanted, screens)
    deviation = {s.screen: s.deviation_n_per_cm for s in screens}
    classes = _classes(wanted, screens, span)
    best = _least(fits, deviation, classes)
    loose = best.status == "short" and span is not None
    if loose:
        classes = _classes(wanted, screens, None)
        best = _least(fits, deviation, classes)
    if best.status == "short":
        best = replace(best, message=_short(wanted, fits))
    passes = best.status == "optimal" and best.spread_n_per_cm <= spread_limit + 1e-9
    runner_up = _runner_up(fits, deviation, classes, best)
    retension, after = ((), {}) if passes else _fewest(fits, screens, classes, spread_limit)
    left_out = {
        s.screen: _why_not(s, wanted, best, by_name)
        for s in screens
        if s.screen not in best.screens.values()
    }
    message = _message(best, passes, spread_limit, retension, loose)
    return SetChoice(best, passes, runner_up, left_out, retension, after, message)


def successors(
    lost: Candidate, screens: Sequence[Candidate], span: int = SPAN
) -> tuple[Candidate, ...]:
    """Screens to take over from one that burst, the best first: same mesh and size, bare,
    retension count within ``span``, least deviation from the own target.

    >>> rack = [Candidate("F1", "90", "M", -1.0, 2), Candidate("F2", "90", "M", 0.3, 1)]
    >>> [s.screen for s in successors(Candidate("F0", "90", "M", 0.0, 1, True), rack)]
    ['F2', 'F1']
    """
    fit = [
        s
        for s in screens
        if (s.mesh, s.size) == (lost.mesh, lost.size)
        and not (s.stencil or s.blocked or s.screen == lost.screen)
        and abs(s.retensions - lost.retensions) <= span
    ]
    return tuple(sorted(fit, key=lambda s: (abs(s.deviation_n_per_cm), s.screen)))


def _check(wanted: Sequence[Wanted], screens: Sequence[Candidate]) -> None:
    for field, names in (
        ("wanted", [w.colour for w in wanted]),
        ("screens", [s.screen for s in screens]),
    ):
        twice = {n for n in names if names.count(n) > 1} if len(names) > len(set(names)) else ()
        if twice:
            raise InputFault(field, sorted(twice)[0], say("Name each one once."))
    gone = {w.stored for w in wanted if w.stored} - {s.screen for s in screens}
    if gone:
        raise InputFault(
            "stored", sorted(gone)[0], say("Give the screen with the stored stencil too.")
        )


def unfit(screen: Candidate, want: Wanted, stored: Mapping[str, str]) -> str | None:
    """Why a screen cannot print a colour, or None. ``stored``: screen -> colour of its stencil."""
    if screen.blocked:
        return screen.blocked
    if stored.get(screen.screen) == want.colour:
        return None
    if want.stored:
        return say("{0} has its stored stencil on {1}.", want.colour, want.stored)
    if screen.stencil or screen.screen in stored:
        return say("It carries a stencil for something else.")
    if screen.mesh != want.mesh:
        return say("Its mesh is not {0}.", want.mesh)
    if want.size and screen.size != want.size:
        return say("Its size is not {0}.", want.size)
    return None


def _classes(
    wanted: Sequence[Wanted], screens: Sequence[Candidate], span: int | None
) -> list[set[str]]:
    """Screens that may stand in one set: of one size, retension counts within the span."""
    sizes = {None} if all(w.size for w in wanted) else {s.size for s in screens}
    counts = sorted({s.retensions for s in screens}) if span is not None else [None]
    return [
        {
            s.screen
            for s in screens
            if (size is None or s.size == size) and (low is None or 0 <= s.retensions - low <= span)
        }
        for size in sorted(sizes, key=str)
        for low in counts
    ]


def _fits(wanted: Sequence[Wanted], screens: Sequence[Candidate]) -> Fits:
    """Colour -> screens that may print it."""
    stored = {w.stored: w.colour for w in wanted if w.stored}
    return {w.colour: [s.screen for s in screens if not unfit(s, w, stored)] for w in wanted}


def _among(fits: Fits, may: set[str]) -> Fits:
    return {colour: [s for s in fit if s in may] for colour, fit in fits.items()}


def _least(
    fits: Fits,
    deviation: Mapping[str, float],
    classes: Iterable[set[str]],
    without: str | None = None,
) -> MatchedSet:
    """Best over all classes, ``without`` one screen if so wished."""
    best = None
    for may in classes:
        within = _among(fits, may - {without})
        if all(within.values()):
            found = match(within, deviation)
            if found.status == "optimal" and (
                best is None or found.spread_n_per_cm < best.spread_n_per_cm
            ):
                best = found
    return best or MatchedSet({}, float("nan"), "short", "")


def _short(wanted: Sequence[Wanted], fits: Fits) -> str:
    """Which colour has no screen at all."""
    bare = [f"{w.colour} ({w.mesh})" for w in wanted if not fits[w.colour]]
    if bare:
        return say("No screen fits {0}: stretch one, or bring one back.", ", ".join(bare))
    for mesh in sorted({w.mesh for w in wanted}):
        its = [fits[w.colour] for w in wanted if w.mesh == mesh]
        there = len({s for fit in its for s in fit})
        if there < len(its):
            return say(
                "{0} colours want {1} and {2} of its screens can be used.", len(its), mesh, there
            )
    return say("There are not enough screens alike: one colour or more would stay without.")


def _runner_up(
    fits: Fits, deviation: Mapping[str, float], classes: Sequence[set[str]], best: MatchedSet
) -> MatchedSet | None:
    """The best set with another screen for at least one colour. Exact: any such set lacks one of
    the screens of the best."""
    others = [_least(fits, deviation, classes, screen) for screen in best.screens.values()]
    there = [o for o in others if o.status == "optimal"]
    return min(there, key=lambda o: o.spread_n_per_cm, default=None)


def _fewest(
    fits: Fits, screens: Sequence[Candidate], classes: Iterable[set[str]], limit: float
) -> tuple[tuple[str, ...], dict[str, str]]:
    """Fewest screens to retension to their own targets so that a set passes. Exact: windows that
    hold the target and begin at a deviation, each with the cheapest assignment."""
    best: tuple[float, tuple[str, ...], dict[str, str]] = (NEVER, (), {})
    by_name = {s.screen: s for s in screens}
    for may in classes:
        within = _among(fits, may)
        values = {by_name[s].deviation_n_per_cm for fit in within.values() for s in fit}
        for low in sorted(v for v in values | {0.0} if -limit <= v <= 0):
            cost = _retension_costs(within, by_name, low, low + limit)
            given = nearest(within, cost)
            total = sum(cost[s] for s in given.values())
            if given and total < best[0]:
                turned = tuple(s for s in given.values() if cost[s] >= 1)
                best = (total, turned, given)
    return best[1], best[2]


def _retension_costs(
    fits: Mapping[str, Sequence[str]], by_name: Mapping[str, Candidate], low: float, high: float
) -> dict[str, float]:
    """1 for a screen to be retensioned, a little for distance from target; stencils stay as is."""
    out = {}
    for name in {s for fit in fits.values() for s in fit}:
        screen = by_name[name]
        off = screen.deviation_n_per_cm
        if low - 1e-9 <= off <= high + 1e-9:
            out[name] = 1e-4 * abs(off)
        elif not screen.stencil:
            out[name] = 1 + 1e-4 * abs(off)
    return dict(sorted(out.items()))


def _why_not(
    screen: Candidate,
    wanted: Sequence[Wanted],
    best: MatchedSet,
    by_name: Mapping[str, Candidate],
) -> str:
    stored = {w.stored: w.colour for w in wanted if w.stored}
    reasons = [unfit(screen, w, stored) for w in wanted]
    fitting = [w.colour for w, why in zip(wanted, reasons, strict=True) if why is None]
    if not fitting:
        own = [r for w, r in zip(wanted, reasons, strict=True) if w.mesh == screen.mesh]
        return (own or reasons)[0] or ""
    if not best.screens:
        return say("No full set can be made.")
    spreads = [_spread_with(screen, colour, best, by_name) for colour in fitting]
    if min(spreads) > best.spread_n_per_cm + 1e-9:
        return say("It would widen the spread to {0} N/cm.", written(min(spreads), ".1f"))
    return say("As good; its size or retension count suits the others less, or it is further off.")


def _spread_with(
    screen: Candidate, colour: str, best: MatchedSet, by_name: Mapping[str, Candidate]
) -> float:
    others = [by_name[s].deviation_n_per_cm for c, s in best.screens.items() if c != colour]
    values = [*others, screen.deviation_n_per_cm]
    return max(values) - min(values)


def _message(
    best: MatchedSet, passes: bool, limit: float, retension: Sequence[str], loose: bool
) -> str:
    if best.status == "short":
        return best.message
    over = mark("Deviations from target spread over {0} N/cm; the limit is {1}.")
    said = [say(over, written(best.spread_n_per_cm, ".1f"), written(limit, "g"))]
    if loose:
        said.append(say("Retension counts differ by more than wished; no set has them closer."))
    if not passes and retension:
        names = ", ".join(retension)
        said.append(say("Retension {0} to their targets and a set passes.", names))
    elif not passes:
        said.append(say("No retensioning of bare screens would make a set pass."))
    return " ".join(said)
