"""Bodies of things and states as the mechanics takes them."""

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from frames.errors import BadInput, Problem
from frames.mechanics import Adjuster, Aim, Bar, Bolt, Layout, Limits, Mesh, Strip, View
from frames.wording import say

Json = dict[str, Any]
SIDES = ("A", "B", "C", "D")
PER_TURN = 48
LEAST_LIMIT_48THS = 3
# bending stiffness of the bar where nobody measured its section, N cm2 (assumed sections)
BAR_EI_N_CM2 = {"plain_u": 3e6, "ribbed_u": 6e6, "boxed_u": 1.2e7}
WITHOUT_STENCIL_MM = 2.0


def needed(request: Json, key: str) -> Json:
    """The body under a key; BadInput if it is missing."""
    body = request.get(key)
    if not isinstance(body, dict):
        remedy = say("Send the {0}'s body, as it stands in the feed.", key)
        raise BadInput([Problem(key, body, remedy)])
    return body


@dataclass(frozen=True)
class Setup:
    """One request, read as far as it does not depend on what was measured."""

    request: Json

    @cached_property
    def frame(self) -> Json:
        return needed(self.request, "frame")

    @cached_property
    def screen(self) -> Json:
        return needed(self.request, "screen")

    @cached_property
    def options(self) -> Json:
        return self.request.get("options") or {}

    @cached_property
    def layout(self) -> Layout:
        bar = Bar(BAR_EI_N_CM2[self.frame["profile"]])
        bolts = {side: tuple(self.frame["bolts"].get(side, ())) for side in SIDES}
        return Layout(self.frame["inside_a_mm"], self.frame["inside_b_mm"], bolts, bar)

    @cached_property
    def mesh(self) -> Mesh:
        body = needed(self.request, "mesh")
        return Mesh.of(body["material"], body["count_per_cm"], body["thread_um"])

    @cached_property
    def strip(self) -> Strip:
        return Strip(self.layout, self.mesh)

    @cached_property
    def bolt(self) -> Bolt:
        step = self.options.get("step_48ths") or self.frame["step_48ths"]
        return Bolt(self.frame["pitch_mm"], step)

    @cached_property
    def view(self) -> View:
        return View(self.options.get("face") or "squeegee", self.options.get("near") or "A")

    @cached_property
    def purpose(self) -> str:
        return self.options.get("purpose") or "retension"

    @cached_property
    def is_coated(self) -> bool:
        return self.screen["stencil"] != "bare"

    @cached_property
    def bolt_states(self) -> dict[str, str]:
        known = (self.request.get("frame_state") or {}).get("bolts", {})
        return {bolt: was for bolt, was in known.items() if bolt in self.layout.names}

    @cached_property
    def hidden(self) -> frozenset[str]:
        """Bolts out of reach: as told, else those under the clamps of the press."""
        told = self.options.get("hidden")
        press = self.request.get("press")
        if told is not None:
            return frozenset(told)
        return self._under(press["clamps"]) if press else frozenset()

    def _under(self, clamps: list[Json]) -> frozenset[str]:
        """Clamps lie near, right, far or left; they are measured from the left or the near end."""
        a, b = self.layout.inside_a_mm, self.layout.inside_b_mm
        wide, deep = (a, b) if self.view.near in "AC" else (b, a)
        hidden = set()
        for bolt, seen in zip(self.layout.names, self._seen(), strict=True):
            side = _place(*self._middle(bolt[0]))
            at = seen[0] * wide if side in ("near", "far") else seen[1] * deep
            for clamp in clamps:
                start, end = clamp.get("from_mm") or 0, clamp.get("to_mm")
                if clamp["side"] == side and start <= at <= (np.inf if end is None else end):
                    hidden.add(bolt)
        return frozenset(hidden)

    def _seen(self) -> np.ndarray:
        """Where each bolt lies for the reader: fractions to the right and away."""
        points = []
        for bolt in self.layout.names:
            along = self.layout.along(bolt[0])[int(bolt[1:]) - 1] / self.layout.length_mm(bolt[0])
            points.append(
                {"A": (along, 0), "B": (1, along), "C": (along, 1), "D": (0, along)}[bolt[0]]
            )
        return self.view.seen(points)

    def _middle(self, side: str) -> np.ndarray:
        return self.view.seen([{"A": (0.5, 0), "B": (1, 0.5), "C": (0.5, 1), "D": (0, 0.5)}[side]])[
            0
        ]

    @cached_property
    def limits(self) -> Limits:
        shop = self.request.get("shop") or {}
        told = self.options.get("round_limit_48ths") or shop.get("round_limit_48ths") or 96
        turns = max(told, LEAST_LIMIT_48THS) / PER_TURN
        return Limits(
            turns=turns,
            loosen_turns=min(1.0, turns),
            cap_n_per_cm=needed(self.request, "mesh").get("cap_n_per_cm"),
            hidden=self.hidden,
            seized=frozenset(b for b, was in self.bolt_states.items() if was == "seized"),
            broken=frozenset(b for b, was in self.bolt_states.items() if was == "broken"),
            first_round=self._is_first_round(),
        )

    def _is_first_round(self) -> bool:
        told = self.options.get("first_round")
        if told is not None:
            return bool(told)
        return self.purpose == "stretch" and not any(self.screen["turns"].values())

    @cached_property
    def aim(self) -> Aim:
        target, tolerance = (
            self.options.get(key) or self.screen[key]
            for key in ("target_n_per_cm", "tolerance_n_per_cm")
        )
        return Aim(target, tolerance)

    @cached_property
    def adjusters(self) -> list[Adjuster]:
        press = self.request.get("press") or {}
        return [Adjuster(**adjuster) for adjuster in press.get("adjusters") or []]

    @cached_property
    def where(self) -> str:
        return self.options.get("where") or ("press" if self.purpose == "register" else "bench")


def _on_side(side: str, share: float) -> tuple[float, float]:
    """(u, v) of a point of a side, at a share of its length along x or y."""
    return {"A": (share, 0.0), "B": (1.0, share), "C": (share, 1.0), "D": (0.0, share)}[side]


def _place(right: float, away: float) -> str:
    """Which side of the reader's view a side's middle lies on."""
    if away == 0:
        return "near"
    if away == 1:
        return "far"
    return "right" if right == 1 else "left"
