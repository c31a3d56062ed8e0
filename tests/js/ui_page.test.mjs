// What a page remembers, where it goes, what its top line says.
import assert from "node:assert/strict";
import { test } from "node:test";

import { NOTHING, ROOM, flat, told, withRecent } from "../../static/src/phone/ui/remembered.js";
import { createRouter, readRoute, routeAddress } from "../../static/src/phone/ui/route.js";
import { syncText } from "../../static/src/phone/ui/sync_text.js";
import { whereText } from "../../static/src/phone/ui/where.js";

test("what is told at one place is remembered there alone", () => {
  let all = told(NOTHING, { operator: "o1", place: "p1" });
  all = told(all, { station: 4, job: "j", near: "C" });
  all = told(all, { place: "p2" });
  assert.equal(flat(all).station, null);
  assert.equal(flat(all).near, "A");
  assert.equal(flat(all).operator, "o1");
  all = told(all, { place: ROOM });
  assert.equal(flat(all).press, null);
  all = told(all, { place: "p1" });
  assert.deepEqual([flat(all).station, flat(all).job, flat(all).near, flat(all).press], [4, "j", "C", "p1"]);
});

test("how a frame lies is asked once per place", () => {
  assert.equal(flat(NOTHING).asked, false);
  assert.equal(flat(told(NOTHING, { station: 3 })).asked, false);
  const at = told(NOTHING, { face: "print" });
  assert.equal(flat(told(at, { job: "j" })).asked, true);
  assert.equal(flat(told(at, { place: "p1" })).asked, false);
});

test("the frame held last comes first, once, and eight are kept", () => {
  assert.deepEqual(withRecent(["a", "b"], "b"), ["b", "a"]);
  assert.equal(withRecent([..."abcdefgh"], "z").length, 8);
});

const at = (address) => {
  const [pathname, hash = ""] = address.split("#");
  return { pathname, hash: hash && `#${hash}` };
};

test("every route reads back from its own address", () => {
  for (const address of ["/", "/#outbox", "/f/F0417-N", "/f/F0417-N#form/after_marks%3A0193", "/f/F0417-N#check"]) {
    assert.equal(routeAddress(readRoute(at(address))), address);
  }
  assert.deepEqual(readRoute(at("/F/F0417-N")), { name: "card", code: "F0417-N", arg: null });
  assert.deepEqual(readRoute(at("/e#token")), { name: "enrol", code: null, arg: "token" });
  assert.equal(readRoute(at("/")).name, "home");
});

/** A browser's history, as far as the router uses it. */
function browser(address) {
  const entries = [{ address, state: null }];
  let now = 0;
  /** @type {(event: any) => void} */ let heard = () => {};
  return {
    get location() {
      return at(entries[now].address);
    },
    addEventListener: (_, run) => { heard = run; },
    history: {
      pushState: (state, _, to) => { entries.splice(now + 1); entries.push({ address: to, state }); now += 1; },
      replaceState: (state, _, to = entries[now].address) => { entries[now] = { address: to, state }; },
      back() { this.go(-1); },
      go(by) { now += by; heard({ state: entries[now].state }); },
    },
    depth: () => now,
  };
}

test("saving goes back to the card that the form was opened from", () => {
  const page = browser("/");
  const router = createRouter(page, () => {});
  router.go("card", { code: "F0417-N" });
  router.go("more", { code: "F0417-N" });
  router.go("form", { code: "F0417-N", arg: "note" });
  router.backTo("card", { code: "F0417-N" });
  assert.deepEqual(router.route(), { name: "card", code: "F0417-N", arg: null });
  assert.equal(page.depth(), 1);
  router.back();
  assert.equal(router.route().name, "home");
});

test("a form opened by its address alone gives way to the card", () => {
  const page = browser("/f/F0417-N#check");
  const router = createRouter(page, () => {});
  router.backTo("card", { code: "F0417-N" });
  assert.equal(routeAddress(router.route()), "/f/F0417-N");
  router.back();
  assert.equal(router.route().name, "home");
  assert.equal(page.depth(), 0);
});

test("a scan leaves no scanner to come back to", () => {
  const router = createRouter(browser("/"), () => {});
  router.go("scan");
  router.swap("card", { code: "F0417-N" });
  router.back();
  assert.equal(router.route().name, "home");
});

const NOW = new Date(2026, 10, 25, 15, 0).getTime();
const SYNCED = {
  state: "idle", held_reason: null, last_sync_at: new Date(2026, 10, 25, 10, 42).getTime(),
  unsent: 0, oldest_at: null, refused: 0,
};

test("the top line always tells what waits, how long, and when it was in step", () => {
  assert.equal(syncText(SYNCED, NOW).text, "all sent, 10:42");
  const three = { ...SYNCED, unsent: 3, oldest_at: NOW - 25 * 60_000 };
  assert.equal(syncText(three, NOW).text, "3 waiting, oldest 25 min · synced 10:42");
  const held = { ...three, state: "held", held_reason: "sign in" };
  assert.equal(syncText(held, NOW).text, "held: sign in · 3 waiting, oldest 25 min · synced 10:42");
  assert.equal(syncText({ ...SYNCED, refused: 1 }, NOW).text, "1 refused · synced 10:42");
  assert.equal(syncText({ ...SYNCED, last_sync_at: null }, NOW).text, "not yet synced");
  const tones = [syncText(SYNCED, NOW), syncText(three, NOW), syncText({ ...SYNCED, state: "held" }, NOW)].map((one) => one.tone);
  assert.deepEqual(tones, ["calm", "busy", "held"]);
});

test("the context line names the job and colour in hand", () => {
  const names = { o: "Operator 3", p: "Press 2", c: "Blue" };
  const things = /** @type {any} */ ({ name: (_, id) => names[id] ?? "", get: (_, id) => (id === "j" ? { number: "2291" } : null) });
  const here = /** @type {any} */ ({ operator: "o", press: "p", station: 4, job: "j", colour: "c" });
  assert.deepEqual(whereText(here, things), { who: "Operator 3 · Press 2, station 4", what: "2291 · Blue" });
  assert.deepEqual(whereText({ ...here, press: null, operator: null }, things), { who: "Who?", what: "Screen room" });
});
