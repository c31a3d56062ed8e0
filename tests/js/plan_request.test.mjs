// What advice is asked with: which entries the estimate knows already, and what the turns are for.
import assert from "node:assert/strict";
import { test } from "node:test";

import { ofScreen, purposeOf, requestOf, sinceOf } from "../../static/src/phone/views/plan/request.js";

const id = (n) => `0193a6c0-0000-7000-8000-${String(n).padStart(12, "0")}`;
const SCREEN = id(1);
const MESH = { mesh: id(90), warp: "x", target_n_per_cm: 22, tolerance_n_per_cm: 1.5 };
const VIEW = { face: "squeegee", near: "A" };
const CHECK = { meter: null, ...VIEW, stencil: "bare", spots: [{ u: 0.5, v: 0.5, along_a_n_per_cm: 20, across_a_n_per_cm: 20 }] };
const turns = (purpose) => ({ purpose, ...VIEW, bolts: [{ bolt: "A1", turn_48ths: 8 }], plan: null });

/** @param {number} n also its minute and, unless told otherwise, its place in the feed */
function entry(n, kind, payload, more = {}) {
  const occurred_at = `2026-11-25T09:${String(n).padStart(2, "0")}:00.000Z`;
  return { id: id(n), install_id: id(80), device_seq: n, kind, v: 1, occurred_at, clock_offset_ms: 0, frame: id(70), screen: SCREEN, subject: null, payload, seq: n, ...more };
}

const fitted = entry(1, "mesh_fitted", MESH);
const log = [fitted, entry(2, "tension_check", CHECK), entry(3, "bolt_turns", turns("stretch")), entry(4, "tension_check", CHECK), entry(5, "bolt_turns", turns("stretch"))];
const estimate = { seq: 5, digest: "d", after: id(4), mean: [21], factors: "learnt" };
const kindsOf = ({ since }) => since.map((one) => one.kind);

test("without an estimate the log speaks from the mesh fitted on, in order", () => {
  const asked = sinceOf([...log].reverse(), SCREEN, null);
  assert.equal(asked.estimate, null);
  assert.deepEqual(asked.since.map((one) => one.id), [1, 2, 3, 4, 5].map(id));
  assert.deepEqual(Object.keys(asked.since[0]), ["id", "kind", "payload", "occurred_at", "clock_offset_ms"]);
});

test("an estimate of a screen not read yet goes along with the whole log", () => {
  const unread = { ...estimate, after: null, mean: null };
  const asked = sinceOf(log, SCREEN, unread);
  assert.deepEqual([asked.estimate, asked.since.length], [unread, 5]);
});

test("what comes after the estimate's check is added, sent or not", () => {
  const unsent = entry(6, "nipped_up", { bolts: [] }, { seq: undefined });
  const asked = sinceOf([...log, unsent], SCREEN, estimate);
  assert.equal(asked.estimate, estimate);
  assert.deepEqual(kindsOf(asked), ["bolt_turns", "nipped_up"]);
});

test("of an estimate that does not know something older, only what others taught is kept", () => {
  const late = entry(3, "bolt_turns", turns("stretch"), { id: id(40), device_seq: 40, seq: undefined });
  const learnt = { ...late, seq: 6 };
  for (const news of [late, learnt]) {
    const asked = sinceOf([...log, news], SCREEN, estimate);
    assert.deepEqual(asked.estimate, { ...estimate, mean: null });
    assert.equal(asked.since.length, 6);
  }
  assert.deepEqual(sinceOf([...log, learnt], SCREEN, { ...estimate, seq: 6 }).estimate.mean, [21]);
});

test("an estimate of what was undone or put right since is left out", () => {
  const undone = entry(7, "void", { voids: id(3), reason: "wrong frame" }, { seq: undefined });
  assert.deepEqual(kindsOf(sinceOf([...log, undone], SCREEN, estimate)), ["mesh_fitted", "tension_check", "tension_check", "bolt_turns"]);
  const put = { corrects: id(3), frame: id(70), screen: SCREEN, occurred_at: "2026-11-25T09:03:00.000Z", payload: turns("retension") };
  const right = entry(8, "correction", put, { seq: 8 });
  assert.equal(sinceOf([...log, right], SCREEN, estimate).estimate.mean, null);
  assert.deepEqual(sinceOf([...log, right], SCREEN, { ...estimate, seq: 8 }).estimate.mean, [21]);
  const taken = entry(9, "void", { voids: id(8), reason: "it was right" }, { seq: 9 });
  assert.equal(sinceOf([...log, right, taken], SCREEN, { ...estimate, seq: 8 }).estimate.mean, null);
});

test("what was undone after the estimate's check does no harm to it", () => {
  const undone = entry(7, "void", { voids: id(5), reason: "not turned" }, { seq: undefined });
  const asked = sinceOf([...log, undone], SCREEN, estimate);
  assert.equal(asked.estimate, estimate);
  assert.deepEqual(asked.since, []);
});

test("entries of an earlier mesh, or of another frame's, are not this screen's", () => {
  const before = entry(0, "tension_check", CHECK, { screen: id(60) });
  const again = entry(6, "tension_check", CHECK, { screen: null });
  assert.deepEqual(ofScreen([before, ...log, again], SCREEN).map((one) => one.id), [1, 2, 3, 4, 5, 6].map(id));
});

test("turns stretch a new mesh and retension one that has carried a stencil, once a day", () => {
  const at = Date.parse("2026-11-25T12:00:00.000Z");
  assert.equal(purposeOf(log, at), "stretch");
  const coated = [...log, entry(6, "coated", { note: "" })];
  assert.equal(purposeOf(coated, at), "retension");
  const going = [...coated, entry(7, "bolt_turns", turns("retension"))];
  assert.equal(purposeOf(going, at), "stretch");
  assert.equal(purposeOf(going, at + 86_400_000), "retension");
  assert.equal(purposeOf([...going, entry(8, "coated", { note: "" })], at), "retension");
});

test("bolts under the clamps of the press are named in the request, on a bench none are", () => {
  const bolts = { A: [100, 500, 900], B: [100, 700], C: [100, 500, 900], D: [100, 700] };
  const thing = { id: id(70), code: "F0001-A", inside_a_mm: 1000, inside_b_mm: 800, bolts, step_48ths: 8 };
  const card = { thing, screen: { screen: SCREEN, mesh: id(90) }, frame: { bolts: {} } };
  const things = { get: (kind) => ({ kind }), shop: { id: id(91) } };
  const press = { clamps: [{ side: "left", from_mm: null, to_mm: 400 }] };
  const about = { card, things, entries: log, estimate: null, view: /** @type {const} */ (VIEW) };
  const asked = requestOf({ ...about, press }, { purpose: "register" });
  assert.deepEqual(asked.options.hidden, ["D2"]);
  assert.equal(asked.options.where, "press");
  assert.equal(asked.options.purpose, "register");
  const bench = requestOf({ ...about, press: null }, {});
  assert.deepEqual([bench.options.hidden, bench.options.where], [[], "bench"]);
  const elsewhere = { ...card, frame: { bolts: {}, place: { to: "press", press: id(92) } } };
  assert.equal(requestOf({ ...about, card: elsewhere, press: null }, {}).options.where, "press", "its cautions hold on another press too");
});
