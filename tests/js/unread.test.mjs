// What this app cannot read, because a newer one wrote it or something broken, leaves no card blank.
import assert from "node:assert/strict";
import { test } from "node:test";

import { label } from "../../static/src/phone/entries/index.js";
import { fold } from "../../static/src/phone/fold/index.js";
import { fits } from "../../static/src/phone/fold/shapes.js";
import { tellEntry } from "../../static/src/phone/ui/sentences.js";
import { tensionSeries } from "../../static/src/phone/views/card/series.js";
import { outcomeOf } from "../../static/src/phone/views/plan/outcome.js";
import { sinceOf } from "../../static/src/phone/views/plan/request.js";
import { changesSince, checksAround } from "../../static/src/phone/views/register/since.js";
import { newDevice, openTab } from "./bench/device.mjs";

const id = (/** @type {number} */ n) => `0193a6c0-0000-7000-8000-${String(n).padStart(12, "0")}`;
const [FRAME, SCREEN] = [id(70), id(1)];
const MESH = { mesh: id(90), warp: "x", target_n_per_cm: 22, tolerance_n_per_cm: 1.5 };
const SPOT = { u: 0.5, v: 0.5, along_a_n_per_cm: 20, across_a_n_per_cm: 20 };
const CHECK = { meter: null, face: "squeegee", near: "A", stencil: "bare", spots: [SPOT] };
const ON_OBJECTS = ["constructor", "toString", "valueOf", "hasOwnProperty", "__proto__", "__defineGetter__"];
const things = { name: () => "", get: () => null, shop: {} };

/** @param {number} n also its minute */
function entry(n, kind, payload, more = {}) {
  const occurred_at = `2026-11-25T09:${String(n).padStart(2, "0")}:00.000Z`;
  return {
    id: id(n), install_id: id(80), device_seq: n, kind, v: 1, occurred_at, clock_offset_ms: 0, operator: null,
    frame: FRAME, screen: SCREEN, subject: null, payload, seq: n, ...more,
  };
}

const known = [entry(1, "mesh_fitted", MESH), entry(2, "tension_check", CHECK)];
const newer = [
  entry(10, "tension_check", {}, { v: 2 }),
  entry(11, "turn_plan", { predicted: 7 }, { v: 2 }),
  entry(12, "register_tweak", { bolts: "A1" }, { v: 2 }),
  entry(13, "void", { voids: {} }, { v: 2 }),
  entry(14, "correction", { corrects: 5, payload: [] }, { v: 2 }),
  entry(15, "hologram", { note: { html: "x" }, spots: 1, bolts: 2, face: 3, near: 4 }),
  entry(16, "note", { note: "in words" }, { v: 2 }),
  ...ON_OBJECTS.map((kind, n) => entry(20 + n, kind, { note: "x" })),
];

async function viewOf(/** @type {any[]} */ entries) {
  const tab = await openTab(newDevice());
  const items = entries.map((body) => ({ type: "entry", kind: body.kind, object: body.id, body }));
  await tab.store.feed.replace({ epoch: "e", seq: 0, id: null }, items);
  return tab.frames.frameView(FRAME);
}

test("what cannot be read counts for nothing and hides nothing", async () => {
  assert.deepEqual(fold([...known, ...newer]), fold(known));
  const view = await viewOf([...known, ...newer]);
  assert.equal(view.screen?.last_check?.id, id(2));
  assert.equal(view.entries.length, known.length + newer.length - 2, "voids and corrections are told on others");
});

test("no view takes it for what it knows", async () => {
  const { entries } = await viewOf([...known, ...newer]);
  assert.deepEqual(tensionSeries(entries, SCREEN).map((one) => one.id), [id(2)]);
  assert.equal(outcomeOf(entries, SCREEN), null);
  const sheet = entry(5, "ok_sheet", {});
  assert.deepEqual(changesSince(entries, sheet), []);
  assert.equal(checksAround(entries, sheet), null);
});

test("it is told by its own name, and in text alone", async () => {
  const { entries } = await viewOf([...known, ...newer]);
  for (const one of entries) {
    const { what, told } = tellEntry(one, things, 8);
    assert.equal(typeof told, "string");
    assert.ok(what && typeof what === "string", one.kind);
  }
  const told = (/** @type {number} */ n) => tellEntry(entries.find((one) => one.id === id(n)), things, 8);
  assert.deepEqual(told(10), { what: label("tension_check"), told: "" });
  assert.deepEqual(told(15), { what: "hologram", told: "" });
  assert.deepEqual(told(16), { what: label("note"), told: "in words" });
});

test("names that every object has are no kinds", () => {
  for (const kind of ON_OBJECTS) assert.equal(fits(kind, {}), false, kind);
});

test("voids that speak of each other, or of themselves, end the search for what they mean", () => {
  const round = [entry(30, "void", { voids: id(31), reason: "" }), entry(31, "void", { voids: id(30), reason: "" })];
  const own = entry(32, "void", { voids: id(32), reason: "" });
  const estimate = { seq: 5, digest: "d", after: id(2), mean: [21], factors: "learnt" };
  assert.deepEqual(sinceOf([...known, ...round, own], SCREEN, estimate), { estimate, since: [] });
});
