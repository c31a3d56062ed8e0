// Sums as typed: the shop's own units, what is missing, what is answered.
import assert from "node:assert/strict";
import { test } from "node:test";

import { shownNumber, told, toSum, unitOf } from "../../static/src/phone/views/sums/measure.js";
import { SUMS } from "../../static/src/phone/views/sums/specs.js";
import { fieldsOf, groundOf, startOf, work } from "../../static/src/phone/views/sums/working.js";

const METRIC = { length_unit: "mm", count_unit: "cm" };
const INCH = { length_unit: "in", count_unit: "in" };
const nothing = { frame: null, screen: null, mesh: null };
const frame = { inside_a_mm: 600, inside_b_mm: 750, pitch_mm: 1.25, profile: "plain_u", bolts: { A: [50, 300, 550], B: [50, 375, 700], C: [50, 300, 550], D: [50, 375, 700] } };

const line = (answer, label) => answer.lines.find((one) => one.label === label)?.text;

test("a mesh typed per inch answers as the same mesh typed per cm", () => {
  const typed = { count: "225", thread: "40", thickness: "59", build_up: "", stretch: "" };
  const inch = work(SUMS.weave, typed, nothing, INCH);
  assert.equal(line(inch, "Opening"), "72.9 µm");
  assert.equal(line(inch, "Open area"), "41.7 %");
  assert.equal(line(inch, "Ink volume"), "24.6 cm³/m²");
  const metric = work(SUMS.weave, { ...typed, count: String(225 / 2.54) }, nothing, METRIC);
  assert.deepEqual(metric.lines, inch.lines);
});

test("every measure goes from what is shown to the sum and back", () => {
  for (const shop of [METRIC, INCH]) {
    for (const measure of ["length", "count", "tension", "um", "pct", "stress", "kelvin"]) {
      const shown = Number(shownNumber(97, measure, shop));
      const again = toSum(shown, measure, shop);
      assert.ok(Math.abs(again - 97) < 0.05, `${measure} ${unitOf(measure, shop)}: ${again}`);
    }
  }
  assert.equal(told(25.4, "length", INCH), "1.000 in");
  assert.equal(told(-0.5, "length", METRIC), "−0.50 mm");
});

test("what is missing or out of range is told at its field, and nothing is answered", () => {
  const answer = work(SUMS.stress, { count: "900", thread: "", tension: "21" }, nothing, METRIC);
  assert.equal(answer.complete, false);
  assert.deepEqual(Object.keys(answer.problems).sort(), ["count", "thread"]);
  assert.match(answer.problems.count, /900 is out of range: give 4 to 260/);
});

test("threads that would touch are said", () => {
  assert.match(work(SUMS.weave, { count: "200", thread: "60" }, nothing, METRIC).trouble, /would touch/);
});

test("a profile asks for its own plates only", () => {
  const names = (profile) => fieldsOf(SUMS.side, { profile }, METRIC).map(({ name }) => name);
  assert.ok(!names("plain_u").includes("rib"));
  assert.ok(names("ribbed_u").includes("rib") && !names("ribbed_u").includes("box"));
  assert.ok(names("boxed_u").includes("box"));
});

test("a frame in hand fills in what it knows", () => {
  const mesh = { id: "m", count_per_inch: 305, thread_um: 34, cap_n_per_cm: 26 };
  const card = { thing: frame, screen: { mesh: "m", ended: null, target_n_per_cm: 21 } };
  const ground = groundOf(card, { get: () => mesh });
  const start = startOf(SUMS.target, ground, METRIC);
  assert.equal(start.count, "120.1");
  assert.equal(start.card, "26");
  assert.equal(start.length, "750");
  assert.equal(start.widest, "325"); // the middle bolt of three, half-way to both neighbours
});

test("the lowest ceiling is named", () => {
  const typed = { low: "18", card: "26", count: "120", thread: "34", profile: "plain_u", flange: "50", web: "40", wall: "5", length: "750", bow: "1", widest: "325", bolt: "inch", proof: "450" };
  const answer = work(SUMS.target, typed, nothing, METRIC);
  assert.equal(answer.said, "Out of reach: 17.4 N/cm at most. First limit: threads.");
  assert.match(work(SUMS.target, { ...typed, low: "15" }, nothing, METRIC).said, /^15 to 17.4 N\/cm. First limit: threads./);
});

test("pre-bow gives each bolt its turns, ends first and middle none", () => {
  const answer = work(SUMS.prebow, { bow: "10" }, { ...nothing, frame }, METRIC);
  assert.equal(line(answer, "A, turns"), "5.6 · 0.0 · 5.6");
});

test("an image longer than its mesh is refused in words", () => {
  const typed = { span: "600", image: "700", gap: "3", tension: "20", stiffness: "" };
  assert.match(work(SUMS.gap, typed, nothing, METRIC).trouble, /shorter than the free mesh/);
});

test("the largest cause of misregister is named", () => {
  const typed = { image: "500", tolerance: "0.1", change: "0", stiffness: "1000", span: "1000", gap: "3", other: "3", sheet: "0.2", warmer: "0", metal: "aluminium" };
  const answer = work(SUMS.register, typed, nothing, METRIC);
  assert.equal(answer.said, "Likely 1.00 mm of 0.1 mm: sheet first.");
});
