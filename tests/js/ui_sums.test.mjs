// Sums as typed: the shop's own units, what is missing, what is answered.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
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

/** Columns of the reference rows by what they measure. */
const COLUMNS = { span_mm: "length", gap_mm: "length", at_mm: "length", from_mm: "length", to_mm: "length", count_per_cm: "count", thread_um: "um", opening_um: "um", thickness_um: "um", build_up_um: "um", tension_n_per_cm: "tension", stiffness_n_per_cm: "stiffness" };
const HALF_A_DIGIT = { length: { mm: 0.005, in: 0.0005 * 25.4 }, count: { cm: 0.05, in: 0.05 / 2.54 }, um: 0.05, tension: 0.05, stiffness: 0.5 };

test("every figure of the reference rows goes out and comes back in inches and in millimetres", () => {
  let seen = 0;
  for (const name of ["gap", "weave"]) {
    const [head, ...rows] = readFileSync(new URL(`../reference/rows/${name}.csv`, import.meta.url), "utf-8").trim().split("\n").map((line) => line.split(","));
    for (const row of rows) {
      for (const [i, column] of head.entries()) {
        const measure = COLUMNS[column];
        if (!measure || !row[i]) continue;
        for (const shop of [METRIC, INCH]) {
          const again = toSum(Number(shownNumber(Number(row[i]), measure, shop)), measure, shop);
          const off = HALF_A_DIGIT[measure];
          const most = off[measure === "count" ? shop.count_unit : shop.length_unit] ?? off;
          assert.ok(Math.abs(again - Number(row[i])) <= most + 1e-9, `${name} ${column} ${row[i]}: ${again}`);
          seen += 1;
        }
      }
    }
  }
  assert.ok(seen > 500, `${seen} figures`);
});

test("a mesh of every count and thread answers alike, typed in inches or not", () => {
  const [head, ...rows] = readFileSync(new URL("../reference/rows/weave.csv", import.meta.url), "utf-8").trim().split("\n").map((line) => line.split(","));
  const at = (row, column) => row[head.indexOf(column)];
  const counted = rows.filter((row) => at(row, "count_per_inch"));
  for (const row of counted) {
    const [count, thread] = [Number(at(row, "count_per_inch")), at(row, "thread_um")];
    const typed = { count: String(count), thread, thickness: "", build_up: "", stretch: "" };
    const inch = work(SUMS.weave, typed, nothing, INCH);
    const metric = work(SUMS.weave, { ...typed, count: String(count / 2.54) }, nothing, METRIC);
    assert.deepEqual(metric.lines.filter((one) => one.label !== "Threads, stretched"), inch.lines.filter((one) => one.label !== "Threads, stretched"), `${count} ${thread}`);
  }
  assert.ok(counted.length > 5, `${counted.length} rows`);
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
  const bare = { ...typed, card: "" };
  assert.equal(work(SUMS.target, bare, nothing, METRIC).said, "Out of reach: 17.4 N/cm at most. First limit: threads.");
  assert.match(work(SUMS.target, { ...bare, low: "15" }, nothing, METRIC).said, /^15 to 17.4 N\/cm. First limit: threads./);
});

test("a mesh card outranks the rule of thumb for threads, which stands beside it", () => {
  const typed = { low: "18", card: "26", count: "120", thread: "34", profile: "plain_u", flange: "50", web: "40", wall: "5", length: "750", bow: "1", widest: "325", bolt: "inch", proof: "450" };
  const answer = work(SUMS.target, typed, nothing, METRIC);
  assert.equal(answer.said, "18 to 26.0 N/cm. First limit: mesh card.");
  assert.deepEqual(answer.lines.at(-1), { label: "threads", text: "17.4 N/cm" });
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

test("each sum says how it is worked out, what it is worth and where it comes from", () => {
  assert.ok(Object.keys(SUMS).length >= 8);
  for (const [name, sum] of Object.entries(SUMS)) {
    assert.ok(sum.formula.length > 0, name);
    for (const text of [sum.title, sum.about, sum.limits, sum.source]) assert.match(text, /\S[.?]?$/, name);
  }
});

test("a number of five digits in a hint never breaks across a line", () => {
  const hints = Object.values(SUMS).flatMap((sum) => sum.asks.map((ask) => ask.hint ?? ""));
  assert.ok(hints.some((hint) => hint.includes("15\u00a0000")));
  assert.deepEqual(hints.filter((hint) => /\d \d{3}\b/.test(hint)), []);
});
