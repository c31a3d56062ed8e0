"""Everything that is stored about people, table by table, and for how long.

The office shows it, DEVELOPERS.md prints it, and a test fails while a table is missing.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Kept:
    """`models` are the tables that it lies in."""

    who: str
    what: str
    until: str
    models: tuple[str, ...]


_THINGS = "Shop Frame Mesh Press Meter Operator Job Colour"
KEPT = (
    Kept(
        "Operators",
        "the name that people pick on a phone, and a note",
        "forgotten on this page; entries hold an id only",
        ("frames.Operator", "frames.Feed"),
    ),
    Kept(
        "Log",
        "what was done when, by which operator's id, from which phone or account; notes as typed",
        "as long as the book: entries are never changed",
        ("frames.Entry", "frames.InstallState"),
    ),
    Kept(
        "Refused",
        "copies of what could not go into the log, with their notes",
        "two years",
        ("frames.Refused",),
    ),
    Kept(
        "Things",
        "which account changed a frame, job or other thing last",
        "forgotten with the account",
        tuple(f"frames.{name}" for name in _THINGS.split() if name != "Operator"),
    ),
    Kept(
        "Accounts",
        "name, digest of the password, last sign-in, group",
        "forgotten on this page",
        ("auth.User",),
    ),
    Kept("Sign-ins", "which browser is signed in", "at most 7 days", ("sessions.Session",)),
    Kept(
        "Failed sign-ins",
        "the name typed, address and kind of browser",
        "30 days",
        ("axes.AccessAttempt", "axes.AccessAttemptExpiration"),
    ),
    Kept(
        "Phones",
        "the name that the manager gave it, last contact, version of the app",
        "as long as the phone is listed",
        ("shopfloor.Device",),
    ),
    Kept(
        "Invitations",
        "the same name, and what the phone said of itself",
        "30 days",
        ("shopfloor.Enrolment",),
    ),
    Kept(
        "Who let phones in",
        "which account invited, let in, retired or blocked a phone",
        "two years",
        ("shopfloor.AuditEvent",),
    ),
    Kept(
        "Calendars",
        "the name that the manager gave the address, and when it was last read",
        "as long as it is listed",
        ("shopfloor.DateFeed",),
    ),
    Kept(
        "Lists brought in",
        "name of the file and who brought it",
        "30 days",
        ("exchange.Upload", "exchange.Line"),
    ),
    Kept(
        "Labels",
        "which account made labels of a frame",
        "as long as the frame; forgotten with the account",
        ("labels.LabelPrint",),
    ),
    Kept("Backups", "all of the above", "until the backup is removed, see BACKUP_KEEP", ()),
    Kept("Phones' own store", "operators' names, entries of the last 30 days", "its next sync", ()),
    Kept("The server's log", "nothing about people", "—", ()),
)

# Tables that hold nothing about anybody, or that are not written to at all.
NOTHING = (
    "auth.Group",
    "auth.Permission",
    "axes.AccessFailureLog",
    "axes.AccessLog",
    "contenttypes.ContentType",
    "frames.Counter",
    "frames.Derived",
    "frames.FrameState",
    "frames.MeterState",
    "frames.ScreenState",
)
