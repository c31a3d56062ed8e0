"""Chromium's own storage goes wrong at step k of saving a tweak, for every fifth k."""

from itertools import count
from typing import Any

import pytest
from playwright.sync_api import expect

from tests.browser.hand import Operator
from tests.browser.small_shop import entries_of

PUSH = "**/api/v1/sync/push"
EVERY = 5

# Steps are requests of transactions that write to the outbox. `closed` leaves the page at that
# step, as a phone does that is switched off; `fails` undoes the transaction.
WATCH = """(() => {
  window.steps = { taken: 0, at: Infinity, way: "" };
  for (const name of ["get", "getAll", "add", "put", "delete"]) {
    const real = IDBObjectStore.prototype[name];
    IDBObjectStore.prototype[name] = function (...args) {
      const request = real.apply(this, args);
      const { mode, objectStoreNames } = this.transaction;
      if (mode === "readwrite" && objectStoreNames.contains("outbox")) {
        window.steps.taken += 1;
        // Not at once: requests are made in groups, which a browser never breaks up.
        if (window.steps.taken === window.steps.at) queueMicrotask(() => go(this.transaction));
      }
      return request;
    };
  }
  function go(transaction) {
    transaction.abort();
    if (window.steps.way === "closed") location.replace("about:blank");
  }
})()"""

SAVED = """() => new Promise((resolve, reject) => {
  const open = indexedDB.open("tautbook");
  open.onerror = () => reject(open.error);
  open.onsuccess = () => {
    const all = open.result.transaction("outbox").objectStore("outbox").getAll();
    all.onsuccess = () => {
      open.result.close();
      resolve(all.result.map(({ entry }) => entry.device_seq).sort((a, b) => a - b));
    };
  };
})"""


def tweak_at(operator: Operator, code: str, step: int, way: str) -> bool:
    """One tweak, saved while step `step` goes wrong; whether it came so far."""
    operator.type_code(code)
    operator.tap("Tweak")
    operator.tap(operator.page.locator("[data-bolt=A1]"))
    operator.tap("Skip")
    operator.page.evaluate(f"Object.assign(steps, {{ taken: 0, at: {step}, way: '{way}' }})")
    operator.button("Save").click(no_wait_after=True)
    said = operator.page.get_by_role("status").filter(has_text="Tweak of")
    if way == "closed":
        expect(said.or_(operator.page.locator("html:not(:has(#app))")).first).to_be_attached()
        # Sending what is saved takes steps too.
        operator.page.wait_for_timeout(1000)
        reached = operator.page.url == "about:blank"
        operator.open("/")
        return reached
    expect(said.or_(operator.page.get_by_role("alert")).first).to_be_visible()
    return operator.page.evaluate("steps.taken >= steps.at")


@pytest.mark.promise(1, 2)
@pytest.mark.parametrize("way", ["closed", "fails"])
def test_f7_saving_in_chromium_goes_wrong_at_every_step(
    operator: Operator, ids: dict[str, Any], way: str
) -> None:
    operator.settle_context()
    operator.page.route(PUSH, lambda route: route.abort())
    operator.page.add_init_script(WATCH)
    operator.open("/")
    had = 0
    for step in count(1, EVERY):
        reached = tweak_at(operator, ids["code"], step, way)
        saved = operator.page.evaluate(SAVED)
        # There or not, never twice; and no number is used twice or left out.
        assert saved in (list(range(1, had + 1)), list(range(1, had + 2))), f"step {step}"
        had = len(saved)
        if not reached:
            break
    assert step > EVERY
    assert had > 0
    operator.page.unroute(PUSH)
    operator.open("/")
    operator.wait_all_sent()
    sent = entries_of(operator.server)
    assert sorted(one["device_seq"] for one in sent) == list(range(1, had + 1))
