"""Everything that is stored about people, table by table, and for how long.

The office shows it, DEVELOPERS.md prints it, and a test fails while a table is missing.
"""

from dataclasses import dataclass

from frames.wording import mark


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
        mark("Operators"),
        mark("the name that people pick on a phone, and a note"),
        mark("forgotten on this page; entries hold an id only"),
        ("frames.Operator", "frames.Feed"),
    ),
    Kept(
        mark("Log"),
        mark(
            "what was done when, by which operator's id, from which phone or account; notes as "
            "typed"
        ),
        mark("as long as the book: entries are never changed"),
        ("frames.Entry", "frames.InstallState"),
    ),
    Kept(
        mark("Refused"),
        mark("copies of what could not go into the log, with their notes"),
        mark("two years"),
        ("frames.Refused",),
    ),
    Kept(
        mark("Things"),
        mark("which account changed a frame, job or other thing last"),
        mark("forgotten with the account"),
        tuple(f"frames.{name}" for name in _THINGS.split() if name != "Operator"),
    ),
    Kept(
        mark("Accounts"),
        mark("name, digest of the password, last sign-in, group"),
        mark("forgotten on this page"),
        ("auth.User", "shopfloor.FirstPassword"),
    ),
    Kept(
        mark("Sign-ins"),
        mark("which browser is signed in"),
        mark("at most 7 days"),
        ("sessions.Session",),
    ),
    Kept(
        mark("Failed sign-ins"),
        mark("the name typed, address and kind of browser"),
        mark("30 days"),
        ("axes.AccessAttempt", "axes.AccessAttemptExpiration"),
    ),
    Kept(
        mark("Phones"),
        mark("the name that the manager gave it, last contact, version of the app"),
        mark("as long as the phone is listed"),
        ("shopfloor.Device",),
    ),
    Kept(
        mark("Invitations"),
        mark("the same name, and what the phone said of itself"),
        mark("30 days"),
        ("shopfloor.Enrolment",),
    ),
    Kept(
        mark("Who let what in"),
        mark(
            "which account let a phone in or out, and which made, changed or locked another account"
        ),
        mark("two years"),
        ("shopfloor.AuditEvent",),
    ),
    Kept(
        mark("Calendars"),
        mark("the name that the manager gave the address, and when it was last read"),
        mark("as long as it is listed"),
        ("shopfloor.DateFeed",),
    ),
    Kept(
        mark("Lists brought in"),
        mark("name of the file and who brought it"),
        mark("30 days"),
        ("exchange.Upload", "exchange.Line"),
    ),
    Kept(
        mark("Labels"),
        mark("which account made labels of a frame"),
        mark("as long as the frame; forgotten with the account"),
        ("labels.LabelPrint",),
    ),
    Kept(
        mark("Backups"),
        mark("all of the above"),
        mark("until the backup is removed, see BACKUP_KEEP"),
        (),
    ),
    Kept(
        mark("Phones' own store"),
        mark("operators' names, entries of the last 30 days"),
        mark("its next sync"),
        (),
    ),
    Kept(mark("The server's log"), mark("nothing about people"), "—", ()),
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
