"""What the log and the things say about screens, read once per round of deriving."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from frames import links
from frames.folding import effective
from frames.models import Entry, Frame, FrameState, Mesh, ScreenState
from frames.state import readable

Json = dict[str, Any]


@dataclass(frozen=True)
class Screen:
    """One screen with everything that may be derived from: bodies as they stand in the feed.

    `entries` are those of this screen, effective and in fold order, from its mesh fitted on; `seq`
    is the newest place in the log that has a say in them.
    """

    id: str
    frame: Json
    mesh: Json
    state: Json
    frame_state: Json
    entries: list[Json]
    seq: int

    @property
    def is_live(self) -> bool:
        return not self.state["ended"]


def frames_with(entries: list[Entry]) -> set[UUID]:
    """The frames that new entries have a say in."""
    return links.frames_of(entries)


def screens_of(frame_ids: Iterable[UUID]) -> Iterator[Screen]:
    """Every screen, live or ended, of frames and meshes that are in the book."""
    for frame_id in sorted(frame_ids):
        frame = Frame.objects.filter(pk=frame_id).first()
        if frame:
            yield from _of_frame(frame)


def _of_frame(frame: Frame) -> Iterator[Screen]:
    states = ScreenState.objects.filter(frame=frame.pk).order_by("fitted_at")
    meshes = {str(m.pk): m.body() for m in Mesh.objects.filter(pk__in=states.values("mesh"))}
    standing = FrameState.objects.filter(pk=frame.pk).first()
    told = links.of_frames([frame.pk])
    seq = max((row.seq for row in told), default=0)
    entries = by_screen(effective(readable(told)), str(frame.pk))
    for state in states:
        mesh = meshes.get(str(state.mesh))
        if mesh:
            its = entries.get(str(state.screen), [])
            body = standing.body if standing else {"bolts": {}}
            yield Screen(str(state.screen), frame.body(), mesh, state.body, body, its, seq)


def by_screen(entries: Iterable[Json], frame_id: str) -> dict[str, list[Json]]:
    """Entries by the screen they are about: the one they name, else the one then on the frame."""
    found: dict[str, list[Json]] = {}
    on_frame: str | None = None
    for entry in entries:
        if entry["kind"] == "mesh_fitted" and entry["frame"] == frame_id:
            on_frame = entry["id"]
        screen = entry["screen"] or (on_frame if entry["frame"] == frame_id else None)
        if screen:
            found.setdefault(screen, []).append(entry)
        if entry["kind"] == "mesh_removed" and screen == on_frame:
            on_frame = None
    return found
