"""What the screen room checks, retensions or fits with mesh today, as jobs need it."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from frames.models import Colour
from frames.wording import say as said
from shopfloor.office.standing import Standing
from shopfloor.office.supply import NOT_HERE, SAME_MM, Want

ACTS = {
    "check": gettext_lazy("Check"),
    "retension": gettext_lazy("Retension"),
    "level": gettext_lazy("Level"),
    "let_off": gettext_lazy("Let off"),
    "fit": gettext_lazy("Fit mesh"),
}
ORDER = tuple(ACTS)  # of equal use to jobs, what takes least goes first
# What a bare screen asks for. Evening up is something else: it takes register turns back.
OFF = {"low": "retension", "uneven": "level", "high": "let_off"}
LATEST = date.max


@dataclass(frozen=True)
class Task:
    """One thing to do to one frame; `colour` is the one that waits for it, if any."""

    act: str
    stand: Standing
    why: str
    colour: Colour | None = None

    @property
    def said(self) -> str:
        return ACTS[self.act]

    @property
    def rank(self) -> tuple:
        """Jobs by their day, then what needs least work, then by frame."""
        due = self.colour.job.due if self.colour else None
        return (self.colour is None, due or LATEST, ORDER.index(self.act), self.stand.frame.code)


def tasks(stands: Iterable[Standing], colours: Iterable[Colour]) -> list[Task]:
    """For all frames in the house. `colours` are those of open jobs, in the order of their days."""
    here = [s for s in stands if (s.state.get("place") or {}).get("to") not in NOT_HERE]
    found = [task for stand in here if (task := _task(stand))]
    waiting = {str(colour.pk): colour for colour in colours}
    made = {s.screen["colour"] for s in here if s.screen and not s.burst}
    served = [_own(task, waiting) for task in found]
    lacking = [c for key, c in waiting.items() if key not in made and str(c.repeats_id) not in made]
    free = [s for s in here if _is_ready(s)]
    done = _given_out(served, _short(lacking, free))
    bare = [t for t in done if t.act == "fit" and not t.colour and not t.stand.burst]
    return sorted((t for t in done if t not in bare), key=lambda task: task.rank)


def _task(stand: Standing) -> Task | None:
    """What a frame asks for by itself."""
    word, check = stand.condition["word"], stand.check
    if stand.burst or not stand.screen:
        why = _("The mesh burst.") if stand.burst else _("No mesh on it.")
        return Task("fit", stand, why)
    if doubt := _doubt(stand):
        return Task("check", stand, doubt)
    if word == "unknown":
        return Task("check", stand, stand.condition["reason"])
    if word in OFF and stand.stencil == "bare" and check and check["stencil"] == "bare":
        return Task(OFF[word], stand, said("{0} Plan the turns.", stand.condition["reason"]))
    if word in OFF:
        why = said("{0} If it stays so, make another screen.", stand.condition["reason"])
        return Task("check", stand, why)
    if word == "due" and stand.stencil == "bare":
        return Task("retension", stand, stand.condition["reason"])
    return None


def _doubt(stand: Standing) -> str:
    """Why the last check is not to be relied on."""
    told = stand.forecast or {}
    odd = [*told.get("doubted", ()), *told.get("jumps", ())]
    return next((one["message"] for one in odd if one["check"] == stand.check["id"]), "")


def _is_ready(stand: Standing) -> bool:
    free = stand.screen and not stand.screen["job"] and stand.stencil in ("bare", "coated")
    return bool(free) and stand.condition["word"] in ("holding", "due", "resting")


def _own(task: Task, waiting: dict[str, Colour]) -> Task:
    """A screen that carries a colour's stencil serves that colour."""
    screen = task.stand.screen
    colour = waiting.get(screen["colour"]) if screen and not task.stand.burst else None
    return replace(task, colour=colour) if colour else task


def _short(lacking: list[Colour], free: list[Standing]) -> list[Colour]:
    """Colours without a screen for which the rack holds none that is ready."""
    left, short = list(free), []
    for colour in lacking:
        fit = next((stand for stand in left if Want.of(colour).fits(stand)), None)
        if fit is None:
            short.append(colour)
        else:
            left.remove(fit)
    return short


def _given_out(found: list[Task], short: list[Colour]) -> list[Task]:
    """Each colour that is short gets the frame that needs least work."""
    left = sorted((t for t in found if _may_serve(t)), key=lambda t: t.rank)
    given: dict[str, Colour] = {}
    for colour in short:
        chosen = next((t for t in left if _suits(t, Want.of(colour))), None)
        if chosen:
            left.remove(chosen)
            given[str(chosen.stand.frame.pk)] = colour
    return [
        replace(task, colour=given[key]) if (key := str(task.stand.frame.pk)) in given else task
        for task in found
    ]


def _may_serve(task: Task) -> bool:
    """Not one that carries a stencil for something else."""
    screen = task.stand.screen
    return task.act == "fit" or (not screen["job"] and task.stand.stencil in ("bare", "coated"))


def _suits(task: Task, want: Want) -> bool:
    if task.act != "fit":
        return want.fits(task.stand)
    frame = task.stand.frame
    sizes = ((want.a_mm, frame.inside_a_mm), (want.b_mm, frame.inside_b_mm))
    return bool(want.mesh) and all(w is None or abs(w - has) <= SAME_MM for w, has in sizes)
