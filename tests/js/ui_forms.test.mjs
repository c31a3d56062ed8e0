// From what is tapped and typed to what the log gets.
import assert from "node:assert/strict";
import { test } from "node:test";

import { distanceUnit, readDistance } from "../../static/src/shared/units.js";
import { fits } from "../../static/src/phone/fold/shapes.js";
import { nextAction } from "../../static/src/phone/views/card/next.js";
import { tensionSeries } from "../../static/src/phone/views/card/series.js";
import { problemsOf, readValues } from "../../static/src/phone/views/forms/reading.js";
import { SPECS } from "../../static/src/phone/views/forms/specs.js";
import { boltList, noTurns, tapBack, turned, turnsFrom } from "../../static/src/phone/views/turns/turning.js";
import { openTweaks, tellEntry } from "../../static/src/phone/ui/sentences.js";

const id = (n) => `0193a6c0-0000-7000-8000-${String(n).padStart(12, "0")}`;
const MESH = { id: id(1), name: "77-55", count_per_cm: 77, thread_um: 55, target_n_per_cm: 25, tolerance_n_per_cm: 1.5, cap_n_per_cm: 30 };
const LISTS = {
  mesh: [MESH],
  press: [{ id: id(2), name: "Press 1", stations: 6 }],
  meter: [{ id: id(3), name: "Meter 1" }],
  job: [{ id: id(4), number: "2291", title: "Poster", due: "2026-11-27" }],
  colour: [{ id: id(5), job: id(4), position: 1, name: "Blue" }],
};
const find = (kind, key) => (LISTS[kind] ?? []).find((one) => one.id === key) ?? null;
const things = { shop: { tolerance_n_per_cm: 1.5, count_unit: "cm" }, list: (kind) => LISTS[kind] ?? [], get: find, name: (kind, key) => find(kind, key)?.name ?? "" };
const screen = { screen: id(9), mesh: id(1), target_n_per_cm: 25, tolerance_n_per_cm: 1.5, job: id(4), colour: id(5), ended: null, tweaks: { open: [] } };
const card = { thing: { id: id(8), code: "F0417-N", bolts: { A: [1], B: [1], C: [1], D: [1] } }, screen, screens: { [id(9)]: screen }, frame: { awaiting_removal: false, bolts: {} }, condition: { word: "holding" } };
const ground = (more = {}) => ({ card, things, context: { press: id(2), station: 4, job: id(4), colour: id(5), meter: id(3), ...more }, about: id(7) });

/** Whatever a form still asks for, filled in as a person would. */
function filled(spec, start) {
  const choose = (field) => (Array.isArray(field.options) ? field.options[0].value : Object.keys(field.options)[0]);
  const answers = { number: (field) => String(Math.max(1, field.least ?? 1)), text: () => "a word", bolt: () => "A1", bolts_mm: () => ({ A1: "3,5" }), marks: () => [], choice: choose };
  let values = start;
  for (const { name } of spec.fields(values, ground())) {
    const field = spec.fields(values, ground()).find((one) => one.name === name);
    const empty = problemsOf([field], values)[name];
    if (empty) values = { ...values, [name]: answers[field.type](field), ...(field.sets?.(answers[field.type](field)) ?? {}) };
  }
  return values;
}

test("every plain form makes a payload that the log takes, and opens it again unchanged", () => {
  for (const [kind, spec] of Object.entries(SPECS)) {
    const values = filled(spec, spec.start(ground()));
    const fields = spec.fields(values, ground());
    assert.deepEqual(problemsOf(fields, values), {}, kind);
    const payload = spec.payload(readValues(fields, values), ground());
    assert.ok(fits(kind, payload), `${kind}: ${JSON.stringify(payload)}`);

    const text = (value) => (typeof value === "number" ? String(value) : value);
    const opened = spec.values?.(payload) ?? Object.fromEntries(Object.entries(payload).map(([name, value]) => [name, text(value)]));
    const again = { ...spec.start(ground()), ...opened };
    const back = spec.payload(readValues(spec.fields(again, ground()), again), ground());
    assert.deepEqual(back, payload, kind);
  }
});

test("an empty form names each field that is missing", () => {
  const spec = SPECS.burst;
  const start = spec.start(ground());
  assert.deepEqual(Object.keys(problemsOf(spec.fields(start, ground()), start)), ["where"]);
});

test("a wrong number says what is wrong with it and what to do", () => {
  const field = /** @type {any} */ ({ name: "count", type: "number", label: "Impressions", whole: true, least: 0, most: 100 });
  const told = (text) => problemsOf([field], { count: text }).count;
  assert.match(told("many"), /“many” is not a number/);
  assert.match(told("1,5"), /whole number/);
  assert.match(told("101"), /give 0 to 100/);
  assert.equal(told("42"), undefined);
});

test("a chosen mesh brings its own target and tolerance", () => {
  const [field] = SPECS.mesh_fitted.fields({}, ground());
  assert.deepEqual(field.sets(id(1)), { target_n_per_cm: "25", tolerance_n_per_cm: "1.5" });
});

test("taps on bolts add up, loosening takes away, a bolt back at nought is left out", () => {
  let turning = turned(turned(noTurns(), ["A2"], 8), ["A2"], 8);
  turning = turned(turning, ["C1", "C2"], -8);
  assert.deepEqual(boltList(turning), [{ bolt: "A2", turn_48ths: 16 }, { bolt: "C1", turn_48ths: -8 }, { bolt: "C2", turn_48ths: -8 }]);
  assert.deepEqual(boltList(turned(turning, ["A2"], -16)).map((one) => one.bolt), ["C1", "C2"]);
});

test("the last tap is taken back whole, as often as there were taps", () => {
  const one = turned(noTurns(), ["A1"], 8);
  const two = turned(one, ["B1", "B2"], 6);
  assert.deepEqual(boltList(tapBack(two)), boltList(one));
  assert.deepEqual(boltList(tapBack(tapBack(two))), []);
  assert.deepEqual(boltList(tapBack(noTurns())), []);
});

test("no bolt is turned more than ten turns in one entry", () => {
  const most = turnsFrom([{ bolt: "A1", turn_48ths: 480 }]);
  assert.deepEqual(turned(most, ["A1"], 8), most);
});

test("bolts are told in the order in which they are counted", () => {
  const turning = turnsFrom(["A10", "A2", "B1"].map((bolt) => ({ bolt, turn_48ths: 8 })));
  assert.deepEqual(boltList(turning).map((one) => one.bolt), ["A2", "A10", "B1"]);
});

test("the next action follows from the log", () => {
  const next = (more, press = id(2)) => nextAction({ ...card, ...more }, { press })?.text;
  assert.equal(next({ screen: null }), "Mesh fitted");
  assert.equal(next({ frame: { awaiting_removal: true } }), "Mesh removed");
  assert.equal(next({ screen: { ...screen, tweaks: { open: ["t"] } } }), "After marks?");
  assert.equal(next({ condition: { word: "unknown" } }), "Check");
  assert.equal(next({}), "Register");
  assert.equal(next({}, null), "Check");
  const low = { condition: { word: "low" }, screen: { ...screen, stencil: "bare" } };
  assert.equal(next(low, null), "Plan the turns");
  assert.equal(next({ ...low, screen: { ...screen, stencil: "coated" } }, null), "Check");
  const reclaimed = { ...screen, stencil: "bare", reclaims: 1, register_turns: { C2: 8 } };
  assert.equal(next({ screen: reclaimed }, null), "Even up");
  assert.equal(next({ screen: { ...reclaimed, register_turns: {} } }, null), "Check");
});

const entry = (kind, payload, more = {}) => ({ id: id(20), kind, payload, screen: id(9), occurred_at: "2026-11-25T10:42:07.123+01:00", clock_offset_ms: 0, ...more });

test("an entry is told in one sentence", () => {
  const told = (kind, payload) => tellEntry(entry(kind, payload), things, 8).told;
  assert.equal(told("register_tweak", { bolts: [{ bolt: "C2", turn_48ths: 8 }], seen: "one_corner", job: null, colour: id(5) }), "C2 +1 flat · one corner · Blue");
  assert.equal(told("burst", { where: "at_lock", impressions: 1900, note: "" }), "at the lock · at 1\u202f900");
  assert.equal(told("moved", { to: "press", rack: null, press: id(2), station: 4 }), "press · Press 1, station 4");
  assert.equal(told("tension_check", { spots: [{ u: 0.5, v: 0.5, along_a_n_per_cm: 22, across_a_n_per_cm: 21 }], stencil: "bare" }), "21½ N/cm, one spot, bare");
  assert.equal(told("of_tomorrow", { what: 1 }), "");
});

test("how far a frame rocks is typed and told in the shop's unit", () => {
  assert.equal(readDistance("0,02", "in"), 0.508);
  assert.equal(readDistance("0,4", "mm"), 0.4);
  assert.equal(readDistance("much", "in"), null);
  assert.deepEqual([distanceUnit("in"), distanceUnit("mm")], ["in", "mm"]);
  const told = (length_unit) => tellEntry(entry("stretch_step", { step: "inspected", passed: true, rock_mm: 0.508 }), { ...things, shop: { ...things.shop, length_unit } }, 8).told;
  assert.match(told("in"), /rocks 0\.020 in/);
  assert.match(told("mm"), /rocks 0\.508 mm/);
  const piece = (length_unit) => tellEntry(entry("stretch_step", { step: "piece", piece_a_mm: 762, piece_b_mm: 889 }), { ...things, shop: { ...things.shop, length_unit } }, 8).told;
  assert.match(piece("in"), /30\.000 in × 35\.000 in/);
  assert.match(piece("mm"), /762 mm × 889 mm/);
});

test("a series of checks is in order, of one screen, without what was undone", () => {
  const check = (hour, value, more = {}) => entry("tension_check", { stencil: "bare", spots: [{ u: 0.5, v: 0.5, along_a_n_per_cm: value, across_a_n_per_cm: null }] }, { occurred_at: `2026-11-25T${hour}:00:00.000Z`, ...more });
  const all = [check("12", 22), check("10", 24), check("11", 99, { voided: true }), check("09", 30, { screen: id(10) })];
  assert.deepEqual(tensionSeries(all, id(9)).map((one) => one.mean), [24, 22]);
});

test("open tweaks of one frame are told apart by time, bolts and colour", () => {
  const tweak = (id, bolt) => ({
    id, kind: "register_tweak", occurred_at: `2026-11-25T09:0${bolt.slice(1)}:00.000Z`,
    payload: { bolts: [{ bolt, turn_48ths: 8 }], seen: "skipped", job: "j", colour: "c" },
  });
  const names = { j: "2618", c: "leaf green" };
  const shop = /** @type {any} */ ({ name: (_, id) => names[id] ?? "" });
  const view = { thing: { code: "F0404-X", step_48ths: 8 }, screen: { tweaks: { open: ["t1", "t2", "t0"] } }, entries: [tweak("t2", "B2"), tweak("t1", "C1")] };
  assert.deepEqual(openTweaks([view], shop), [
    { id: "t1", code: "F0404-X", at: "2026-11-25T09:01:00.000Z", told: "C1 +1 flat · 2618, leaf green" },
    { id: "t2", code: "F0404-X", at: "2026-11-25T09:02:00.000Z", told: "B2 +1 flat · 2618, leaf green" },
    { id: "t0", code: "F0404-X", at: null, told: "" },
  ]);
});
