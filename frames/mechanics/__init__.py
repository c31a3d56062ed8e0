"""From bolt turns to tension and register, and back: plain computation.

Needs numpy, scipy, scikit-fem and daqp; knows no database, clock, file or random number. Lengths in
mm, tension in N/cm, bar positions outward in mm, turns in whole turns inside and 48ths at the edge.
Places are fractions (u, v) of the inside of the frame, x along side A, y away from it, seen from
the squeegee side; side A is v = 0, B is u = 1, C is v = 1, D is u = 0.

Names are fetched when first used, so importing the package costs nothing.
"""

from importlib import import_module

_HOMES = {
    "adjusters": ("Adjuster", "Adjustment", "adjust"),
    "bolts": ("Bolt",),
    "cautions": ("cautions",),
    "charts": ("DRIFT", "Chart", "ewma", "factors", "individuals", "residuals", "run_rules"),
    "cloth": ("Mesh", "StiffnessRange", "stiffness_range"),
    "contact": ("Settled", "settle"),
    "corners": ("Easing", "ease_corners"),
    "dates": ("Outlook", "When", "outlook"),
    "decomposition": ("Decomposition", "decompose"),
    "faults": ("InputFault",),
    "forecasting": ("Band", "Forecast", "forecast"),
    "frame_side": (
        "Plate",
        "Section",
        "SideLoad",
        "piece_mm",
        "pre_bow_turns",
        "section",
        "side_load",
    ),
    "gauge": ("Gauge", "average_and_range", "by_variance"),
    "jumps": ("CAUSES", "Shift", "Signs", "likely_causes"),
    "layout": ("Bar", "Layout"),
    "learning": ("Factor", "Observation", "learn", "predict_change"),
    "life": ("Life", "mesh_life", "rank_correlation"),
    "renewal": ("Renewal", "best_age", "weibull_life"),
    "limits": ("Limits",),
    "marks": ("Mark", "Scatter", "scatter", "significance"),
    "membrane": ("Membrane",),
    "off_contact": ("Gap",),
    "meter": ("ZeroHistory", "line", "pooled_sd", "zero_history"),
    "outcome": ("Outcome", "what_if"),
    "pooling": ("Pool", "Usual", "before_any_log", "pool"),
    "readings": ("Reading",),
    "register": ("RegisterAnswer", "answer"),
    "register_budget": ("Budget", "Term", "budget", "film_scale"),
    "register_plan": ("RegisterPlan", "plan_register"),
    "register_program": ("RegisterAim",),
    "resting": ("after_rest",),
    "relaxation": ("Seen", "Segment", "Step"),
    "set_choice": ("Candidate", "SetChoice", "Wanted", "choose", "successors"),
    "sets": ("MatchedSet", "match"),
    "stand_out": ("reset",),
    "state": ("Doubt", "State", "after_readings", "after_turns", "begin"),
    "strip": ("Strip",),
    "tension_plan": ("TensionPlan", "plan_tension"),
    "tension_program": ("Aim",),
    "views": ("View",),
    "weave": ("Stretched", "stretched", "wet_film_um"),
    "which_target": ("Ceiling", "which_target"),
}
_WHERE = {name: home for home, names in _HOMES.items() for name in names}

__all__ = sorted(_WHERE)


def __getattr__(name: str) -> object:
    if name not in _WHERE:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f".{_WHERE[name]}", __name__), name)
