"""What is said on labels and test pages: where a label goes, what to print on, cautions."""

from frames.wording import mark, say

from .plan_view import Labelled

PRINT_ON = (
    mark(
        "Laser printer: white polyester film labels made for laser heat, with an "
        "acrylic adhesive for bare metal. Toner on polyester bears washing and most screen "
        "cleaners."
    ),
    mark(
        "Thermal transfer printer: white polyester labels with a full resin ribbon. They bear "
        "solvents and pressure washing best. Wax ribbons wipe off."
    ),
    mark(
        "Vinyl labels bend round ribs, yet swell in strong solvents. Paper, direct thermal and "
        "ink-jet labels do not last in a wash-out booth."
    ),
    mark(
        "Try one label in your own solvents, caustic and pressure washer for a week "
        "before you label every frame. A clear polyester film laid over the label makes it last "
        "longer."
    ),
)
STICKING = (
    mark(
        "Two labels for each frame: one on the outer wall of side A, one on the wall opposite, "
        "so a clamp never hides both."
    ),
    mark(
        "Wipe both walls with alcohol until the cloth stays clean, let them dry, press the "
        "label down from the middle. Leave it a day before the first wash."
    ),
    mark(
        "The centre-punch mark at bolt A1 is what counts. Labels wear and get stuck back in the "
        "wrong place: check the mark whenever you stick a new one."
    ),
    mark("Never cover a bolt, a thread or the way a clamp grips."),
)
CAUTIONS = (
    mark("Take the frame off the press first. Loosen no bolt to stick a label."),
    mark(
        "Punch the mark into the frame side, never into the bar, while no mesh is on. Glasses on."
    ),
    mark("Alcohol and solvents: gloves, fresh air, no flame. Follow the safety data sheet."),
    mark("The frame maker's instructions come first."),
)
TRUE_SIZE = (
    mark(
        "Print at actual size (100 %), never “fit to page”. Lay a ruler on the line: it must "
        "measure 50 mm."
    ),
    mark(
        "Hold this page and a label sheet against the light: the outlines must lie on the labels."
    ),
)


def place(frame: Labelled, side: str) -> str:
    """Where on the frame the label of this side goes."""
    if side == "A":
        return say("Outer wall, next to bolt A1 and its punch mark.")
    return say(
        "Outer wall, straight across from bolt A1, next to bolt C{0}.", len(frame.bolts["C"])
    )
