"""What the book says of frames and screens, in the words of the demo shop's own account."""

from typing import Any

from frames.models import FrameState, Mesh, Press, ScreenState

COUNTED = ("retensions", "reclaims", "impressions", "stencil")


def place(frame: FrameState) -> str:
    if frame.place_kind == "press":
        return f"{Press.objects.get(pk=frame.press).name} {frame.station}"
    return f"rack {frame.rack}" if frame.place_kind == "rack" else frame.place_kind


def account(screen: str) -> dict[str, Any]:
    body = ScreenState.objects.get(screen=screen).body
    return {
        "screen": body["screen"],
        "mesh": Mesh.objects.get(pk=body["mesh"]).name,
        "turns": body["turns"],
        "register_turns": body["register_turns"],
        **{name: body[name] for name in COUNTED},
        "tweaks": body["tweaks"]["count"],
        "ended": body["ended"] and body["ended"]["how"],
    }
