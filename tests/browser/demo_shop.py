"""The demo shop for tests that walk every page: an account, a phone, frames worth seeing."""

import json
from dataclasses import dataclass
from typing import Any

from tests.browser.small_shop import PASSWORD
from tests.shop_process import ShopProcess

OPEN = """
import json
from django.contrib.auth.models import Group, User
from frames.models import Colour, Entry, Frame, FrameState, ScreenState
from tests.browser.small_shop import let_in
manager = User.objects.create_user("manager", password="PASSWORD")
manager.groups.add(Group.objects.get_or_create(name="manager")[0])
live = [one.body for one in ScreenState.objects.filter(ended_at=None) if one.body["job"]]
full = max(live, key=lambda body: Entry.objects.filter(screen_id=body["screen"]).count())
bare = FrameState.objects.filter(screen=None).first()
entry = Entry.objects.filter(screen_id=full["screen"], kind="tension_check").last()
code_of = lambda frame: Frame.objects.get(pk=frame).code
print("TOLD" + json.dumps({
    "cookie": let_in(manager, "Walking phone"),
    "code": code_of(full["frame"]),
    "bare": code_of(bare.frame) if bare else code_of(full["frame"]),
    "entry": str(entry.pk),
}))
"""
# fmt: off
FORMS = (
    "burst", "moved", "impressions", "note", "coated", "exposed", "inspected", "washed",
    "reclaimed", "target_set", "mesh_removed", "bolt_state", "stand_out", "meter_zeroed",
    "after_marks", "cause_found", "ok_sheet",
)
# fmt: on
PURPOSES = ("stretch", "retension", "register", "even_up", "nipped_up")


@dataclass(frozen=True)
class Opened:
    cookie: str
    code: str
    bare: str
    entry: str

    def phone_addresses(self) -> list[str]:
        """Every page of the phone app that an address leads to."""
        home = ["/", *(f"/#{name}" for name in HOME_PAGES + LATER_PAGES)]
        about = ["", "#more", "#history", "#check", "#tweak", f"#entry/{self.entry}"]
        about += [f"#fix/{self.entry}", *(f"#turns/{purpose}" for purpose in PURPOSES)]
        about += [f"#form/{kind}" for kind in FORMS]
        about += ["#plan/tension", "#plan/even_up", "#register", "#stretch"]
        about += [f"#sums/{name}" for name in SUMS]
        card = [f"/f/{self.code}{page}" for page in about]
        return [*home, *card, f"/f/{self.bare}", f"/f/{self.bare}#form/mesh_fitted", "/f/F9999-0"]


HOME_PAGES = ("scan", "type", "pick", "context", "outbox", "enrol", "many", "shift")
LATER_PAGES = ("sums", "phone")
# One of figures alone, one with choices, one that tells a row of figures.
SUMS = ("weave", "target", "prebow")


def open_demo(server: ShopProcess) -> Opened:
    printed = server.python(OPEN.replace("PASSWORD", PASSWORD))
    line = next(line for line in printed.splitlines() if line.startswith("TOLD"))
    told: dict[str, Any] = json.loads(line.removeprefix("TOLD"))
    return Opened(**told)
