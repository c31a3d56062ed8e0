"""The walk through what goes wrong: no network, a refused entry, a phone that is shut out."""

import json

from playwright.sync_api import expect

from tests.browser.look_walk import Walk

BLOCK = """
from django.contrib.auth import get_user_model
from shopfloor.auth import devices
from shopfloor.models import Device
by = get_user_model().objects.get(username="look")
devices.block(Device.objects.get(label="Looking phone"), by)
print("BLOCKED")
"""
# No kind of entry at all, as a fault on the way would leave it: the server must refuse it.
SPOIL = """() => new Promise((resolve, reject) => {
  const open = indexedDB.open("tautbook");
  open.onerror = () => reject(open.error);
  open.onsuccess = () => {
    const box = open.result.transaction("outbox", "readwrite").objectStore("outbox");
    box.getAll().onsuccess = (event) => {
      const last = event.target.result.findLast((one) => one.state !== "stored");
      const put = box.put({ ...last, entry: { ...last.entry, kind: "" } });
      put.onsuccess = () => { open.result.close(); resolve(); };
      put.onerror = () => reject(put.error);
    };
  };
})"""


def note(walk: Walk, code: str, words: str) -> None:
    walk.open(f"/f/{code}#form/note")
    walk.page.get_by_role("textbox").fill(words)
    walk.tap("Save")
    walk.page.wait_for_timeout(1500)


def walk_trouble(walk: Walk, codes: dict[str, str]) -> None:
    code = codes["printing"]
    walk.server.stop()
    note(walk, code, "Squeegee changed to 75 shore.")
    walk.see("card-waiting")
    walk.open("/#outbox")
    walk.see("outbox-waiting")
    walk.open("/#shift")
    walk.see("shift-waiting")
    walk.page.evaluate(SPOIL)
    walk.server.start()
    walk.open("/#outbox")
    expect(walk.page.locator(".is-refused")).to_be_visible()
    walk.see("outbox-refused")
    with walk.page.expect_download() as coming:
        walk.tap("Export to file")
    held = json.loads(coming.value.path().read_text("utf-8"))["entries"]
    print(f"exported: {len(held)}")
    walk.tap("Take off the list")
    walk.see("outbox-empty")
    walk.server.python(BLOCK)
    note(walk, code, "Edge tape renewed.")
    expect(walk.sync_line).to_contain_text("held")
    walk.see("card-blocked")
    walk.open("/#outbox")
    walk.see("outbox-blocked")
    walk.open("/")
    walk.see("home-blocked")
