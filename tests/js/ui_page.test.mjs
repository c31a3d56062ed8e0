// What a page remembers, where it goes, what its top line says.
import assert from "node:assert/strict";
import { test } from "node:test";

import { hiddenHere, isOnPress, isOtherScreen, jobInHand, jobText, pressHere } from "../../static/src/phone/ui/in_hand.js";
import { NOTHING, ROOM, flat, told, withRecent } from "../../static/src/phone/ui/remembered.js";
import { createRouter, readRoute, routeAddress } from "../../static/src/phone/ui/route.js";
import { syncText } from "../../static/src/phone/ui/sync_text.js";
import { whereText } from "../../static/src/phone/ui/where.js";
import { MESH_FORMS } from "../../static/src/phone/views/forms/specs_mesh.js";
import { nextAction } from "../../static/src/phone/views/card/next.js";

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
  assert.equal(syncText(held, NOW).text, "held: not enrolled · 3 waiting, oldest 25 min · synced 10:42");
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

const COLOURS = [{ id: "black", job: "j1", name: "black line" }, { id: "green", job: "j1", name: "leaf green" }, { id: "again", job: "j2", name: "green again", repeats: "green" }];
const JOBS = { j1: { number: "2618" }, j2: { number: "2619" } };
const shop = /** @type {any} */ ({
  get: (kind, id) => (kind === "job" ? JOBS[id] : COLOURS.find((one) => one.id === id)) ?? null,
  name: (_, id) => COLOURS.find((one) => one.id === id)?.name ?? "",
  list: () => COLOURS,
});
const set = (job, colour, press = "p") => /** @type {any} */ ({ press, job, colour });
const GREEN = { job: "j1", colour: "green", ended: null };

test("what is written down of a screen names its own colour, whatever the phone is set to", () => {
  assert.deepEqual(jobInHand(GREEN, set("j1", "black"), shop), { job: "j1", colour: "green" });
  assert.deepEqual(jobInHand(GREEN, set(null, null), shop), { job: "j1", colour: "green" });
  // Printed again from its kept stencil it serves the new job.
  assert.deepEqual(jobInHand(GREEN, set("j2", "again"), shop), { job: "j2", colour: "again" });
  assert.deepEqual(jobInHand(GREEN, set("j2", null), shop), { job: "j2", colour: null });
  for (const none of [null, { ...GREEN, ended: { how: "burst" } }, { job: null, colour: null, ended: null }]) {
    assert.deepEqual(jobInHand(none, set("j1", "black"), shop), { job: "j1", colour: "black" });
  }
  assert.equal(jobText(jobInHand(GREEN, set("j1", "black"), shop), shop), "2618 · leaf green");
});

test("another screen than the press is set to is noticed, and no action is put forward on it", () => {
  const others = [set("j1", "black"), set("j3", null)];
  const right = [set("j1", "green"), set("j1", null), set("j2", "again"), set("j2", null), set(null, null), set("j1", "black", null)];
  assert.ok(others.every((context) => isOtherScreen(GREEN, context, shop)));
  assert.ok(!right.some((context) => isOtherScreen(GREEN, context, shop)));
  const card = { screen: { ...GREEN, tweaks: { open: [] }, reclaims: 0, stencil: "inspected", register_turns: {} }, frame: {}, condition: { word: "holding" } };
  assert.equal(nextAction(card, { press: "p" })?.name, "register");
  assert.equal(nextAction(card, { press: "p", other: true }), null);
});

const SINCE = "2026-11-25T09:00:00.000Z";
const lying = (place, tweak = null) => /** @type {any} */ ({ frame: { place: place && { rack: null, press: null, station: null, since: SINCE, ...place } }, screen: { tweaks: { last: tweak } } });

test("a frame lies on the phone's press unless the log says that it is elsewhere", () => {
  const here = set(null, null);
  for (const place of [null, { to: "press" }, { to: "press", press: "p" }]) assert.equal(pressHere(lying(place), here), "p");
  for (const place of [{ to: "rack", rack: "C1" }, { to: "press", press: "p2" }, { to: "repair" }, { to: "lost" }]) {
    assert.equal(pressHere(lying(place), here), null);
    assert.equal(pressHere(lying(place, { press: "p", at: "2026-11-25T08:59:59.000Z" }), here), null);
    assert.equal(pressHere(lying(place, { press: "p", at: "2026-11-25T09:00:01.000Z" }), here), "p", "a tweak made here since");
  }
  assert.equal(pressHere(lying(null), set(null, null, null)), null);
  assert.ok(isOnPress(lying({ to: "press", press: "p2" }), here), "hands go into a machine there too");
  assert.ok(!isOnPress(lying({ to: "rack" }), here));
});

test("a frame in the rack has no bolt under a clamp", () => {
  const thing = { id: "f", code: "F0411-Z", inside_a_mm: 1000, inside_b_mm: 800, bolts: { A: [500], B: [400], C: [500], D: [200, 600] } };
  const things = /** @type {any} */ ({ get: (_, id) => (id === "p" ? { clamps: [{ side: "left", from_mm: null, to_mm: null }] } : null) });
  const app = { context: set(null, null), things };
  const view = /** @type {const} */ ({ face: "squeegee", near: "A" });
  assert.deepEqual(hiddenHere({ ...lying(null), thing }, view, app), ["D1", "D2"]);
  assert.deepEqual(hiddenHere({ ...lying({ to: "rack" }), thing }, view, app), []);
  assert.deepEqual(hiddenHere({ ...lying({ to: "rack" }), thing }, view, app, "p"), ["D1", "D2"], "register is done on the press");
});

test("the next action of a frame goes by where it lies", () => {
  const screen = { ...GREEN, tweaks: { open: [] }, reclaims: 0, stencil: "bare", register_turns: {} };
  const high = { ...lying({ to: "rack" }), screen, condition: { word: "high" } };
  const away = { press: null, away: true };
  assert.equal(nextAction(high, away)?.arg, "tension");
  assert.equal(nextAction({ ...high, screen: { ...screen, stencil: "inspected" } }, away)?.arg, "moved");
  for (const to of ["lost", "repair"]) {
    for (const held of [screen, null]) assert.equal(nextAction({ ...lying({ to }), screen: held, condition: { word: "unknown" } }, away)?.arg, "moved");
  }
  assert.equal(nextAction({ ...high, ...lying({ to: "press", press: "p" }), screen }, { press: "p" })?.name, "register");
});

test("a torn mesh is reached for with the press stopped", () => {
  const ground = (frame) => /** @type {any} */ ({ card: { ...lying(null), frame }, things: shop, context: set(null, null) });
  const caution = (frame, at = ground(frame)) => MESH_FORMS.mesh_removed.caution?.(at, {});
  assert.deepEqual(caution({ place: { to: "press", press: "p" }, awaiting_removal: true }), ["burst", "removing", "lock"]);
  assert.deepEqual(caution({ place: { to: "rack", since: SINCE }, awaiting_removal: true }), ["removing", "lock"]);
  assert.deepEqual(caution({ place: { to: "press", press: "p" }, awaiting_removal: false }), ["removing", "lock"]);
});
