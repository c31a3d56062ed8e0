"""The vocabulary of the log: the envelope that every entry has, and the kinds there are."""

from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel, ConfigDict, ValidationError

from frames import payloads
from frames.errors import Problem, Unreadable
from frames.fields import Time, Uuid, choice, problems, text, told, whole
from frames.times import milliseconds
from frames.wording import mark, say

Raw = dict[str, Any]

KINDS: dict[str, type[payloads.Shape]] = {
    "mesh_fitted": payloads.MeshFitted,
    "target_set": payloads.TargetSet,
    "tension_check": payloads.TensionCheck,
    "turn_plan": payloads.TurnPlan,
    "bolt_turns": payloads.BoltTurns,
    "register_tweak": payloads.RegisterTweak,
    "after_marks": payloads.AfterMarks,
    "cause_found": payloads.CauseFound,
    "nipped_up": payloads.NippedUp,
    "bolt_state": payloads.BoltState,
    "coated": payloads.Noted,
    "exposed": payloads.Exposed,
    "inspected": payloads.Inspected,
    "washed": payloads.Noted,
    "reclaimed": payloads.Noted,
    "mesh_removed": payloads.Noted,
    "burst": payloads.Burst,
    "moved": payloads.Moved,
    "impressions": payloads.Printed,
    "ok_sheet": payloads.OkSheet,
    "stretch_step": payloads.StretchStep,
    "stand_out": payloads.StandOut,
    "meter_zeroed": payloads.MeterZeroed,
    "note": payloads.Noted,
    "correction": payloads.Correction,
    "void": payloads.Void,
}
VERSION = 1
ACTS = {"correction": "corrects", "void": "voids"}
ANYWHERE = {"note", "correction", "void", "meter_zeroed", "impressions", "ok_sheet"}
# kind → what it must be about, and what to do where it is not
SUBJECTS = {
    "meter_zeroed": ("meter", mark("Choose the meter that was zeroed.")),
    "ok_sheet": ("job", mark("Choose the job whose OK sheet it is.")),
}

CENTURY_MS = 100 * 366 * 86_400_000


def corrected_ms(entry: Raw) -> int:
    """When it happened by the server's clock, in UTC milliseconds since 1970."""
    return milliseconds(entry["occurred_at"]) + entry["clock_offset_ms"]


class Subject(BaseModel):
    model_config = ConfigDict(strict=True)
    kind: choice("job", "press", "meter")
    id: Uuid


class Envelope(BaseModel):
    """Everything but the payload's inside; exactly these keys are under the digest."""

    model_config = ConfigDict(strict=True)
    id: Uuid
    install_id: Uuid
    device_seq: whole(1, 2**53 - 1, "Update the app: entries are numbered from 1.")
    kind: text(40, "Update the app: the kind of this entry is missing.", shortest=1)
    v: whole(1, 1000, "Update the app: the version of this entry must be 1 or more.")
    occurred_at: Time
    clock_offset_ms: whole(-CENTURY_MS, CENTURY_MS, "Set the phone's clock, then save it again.")
    clock_offset_age_ms: (
        whole(0, 2**53 - 1, "Update the app: the age of the clock check cannot be below 0.") | None
    )
    mono_ms: whole(0, 2**53 - 1, "Update the app: its running time cannot be below 0.")
    base_seq: whole(0, 2**53 - 1, "Update the app: its place in the feed cannot be below 0.")
    operator: Uuid | None
    frame: Uuid | None
    screen: Uuid | None
    subject: Subject | None
    scanned: text(500, "Scan again: the scanned text is longer than 500 characters.") | None
    app: text(80, "Update the app: its version text is longer than 80 characters.")
    payload: told(dict[str, Any], "Update the app: this entry carries nothing.")


KEYS = tuple(Envelope.model_fields)


@dataclass(frozen=True)
class Entry:
    """One readable entry: `raw` as it came, and its payload typed if the kind is known."""

    raw: Raw
    known: bool
    payload: payloads.Shape | None


def is_act(raw: Raw) -> bool:
    """Whether it only changes what another entry says."""
    return raw["kind"] in ACTS


def is_known(raw: Raw) -> bool:
    return raw["kind"] in KINDS and raw["v"] <= VERSION


def parse(raw: Any) -> Entry:
    """Read one entry in wire form; Unreadable names field, value and remedy."""
    try:
        Envelope.model_validate(raw)
    except ValidationError as error:
        raise Unreadable(problems(error)) from None
    kept = {key: raw[key] for key in KEYS}
    if not is_known(kept):
        return Entry(kept, False, None)
    check_place(kept)
    return Entry(kept, True, parse_payload(kept["kind"], kept["payload"]))


def parse_payload(kind: str, payload: Any) -> payloads.Shape:
    """The inside of a known kind, typed; Unreadable as for `parse`."""
    try:
        return KINDS[kind].model_validate(payload)
    except ValidationError as error:
        raise Unreadable(
            [
                Problem(f"payload.{found.field}", found.value, found.remedy)
                for found in problems(error)
            ]
        ) from None


def fits(kind: str, payload: Any) -> bool:
    """Whether a payload could stand in an entry of that kind."""
    try:
        return bool(parse_payload(kind, payload))
    except Unreadable:
        return False


def check_place(raw: Raw) -> None:
    """Unreadable if a known entry does not say which screen, frame or meter it is about."""
    kind = raw["kind"]
    about, remedy = SUBJECTS.get(kind, ("", ""))
    if about and (raw["subject"] or {}).get("kind") != about:
        raise Unreadable([Problem("subject", raw["subject"], say(remedy))])
    if kind == "mesh_fitted" and (not raw["frame"] or raw["screen"] != raw["id"]):
        raise Unreadable(
            [Problem("frame", raw["frame"], say("Scan the frame that the mesh was fitted to."))]
        )
    if kind not in ANYWHERE and not raw["frame"] and not raw["screen"]:
        raise Unreadable(
            [Problem("frame", None, say("Scan the frame's label or type its code first."))]
        )
