// The library's stored vectors: programs, influence of the bars, states and plans must come out the same here.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";

import { solveQP } from "../../static/node_modules/quadprog/index.js";
import { Matrix, dot, fromRows } from "../../static/src/phone/advice/mechanics/algebra.js";
import { Bolt } from "../../static/src/phone/advice/mechanics/bolts.js";
import { Mesh } from "../../static/src/phone/advice/mechanics/cloth.js";
import { Layout } from "../../static/src/phone/advice/mechanics/layout.js";
import { Limits } from "../../static/src/phone/advice/mechanics/limits.js";
import { mark } from "../../static/src/phone/advice/mechanics/marks.js";
import { Search, solve } from "../../static/src/phone/advice/mechanics/quadratic.js";
import { reading } from "../../static/src/phone/advice/mechanics/readings.js";
import { planRegister } from "../../static/src/phone/advice/mechanics/register_plan.js";
import { registerAim } from "../../static/src/phone/advice/mechanics/register_program.js";
import { begin } from "../../static/src/phone/advice/mechanics/state.js";
import { Strip } from "../../static/src/phone/advice/mechanics/strip.js";
import { planTension } from "../../static/src/phone/advice/mechanics/tension_plan.js";
import { aimAt } from "../../static/src/phone/advice/mechanics/tension_program.js";
import { afterTurns } from "../../static/src/phone/advice/mechanics/turning.js";
import { Unevenness } from "../../static/src/phone/advice/mechanics/uneven.js";
import { afterReadings } from "../../static/src/phone/advice/mechanics/updating.js";

const read = (name) => JSON.parse(readFileSync(new URL(`../vectors/${name}.json`, import.meta.url), "utf8"));

function close(got, wanted, what, within = 1e-6) {
  const [a, b] = [got, wanted].map((x) => Array.from(x).flat(3));
  assert.equal(a.length, b.length, what);
  a.forEach((x, i) => assert.ok(Math.abs(x - b[i]) <= within * Math.max(1, Math.abs(b[i])), `${what} [${i}]: ${x} for ${b[i]}`));
}

const endless = (values, sign) => Float64Array.from(values, (x) => x ?? sign * Infinity);
const layoutOf = ({ inside_a_mm, inside_b_mm, bolts, ei_n_cm2 }) => new Layout(inside_a_mm, inside_b_mm, bolts, ei_n_cm2);
const stripOf = (one) => new Strip(layoutOf(one.frame), new Mesh(one.mesh.ex_n_per_cm, one.mesh.ey_n_per_cm, one.mesh.coupling));
const programOf = (one) => ({
  h: fromRows(one.h),
  f: Float64Array.from(one.f),
  low: Float64Array.from(one.low),
  high: Float64Array.from(one.high),
  a: fromRows(one.a, one.f.length),
  rowLow: endless(one.row_low, -1),
  rowHigh: endless(one.row_high, 1),
});
const readingsOf = (rows) => rows.map((row) => reading(...row));

test("quadratic programs have the library's answer, or none where it has none", () => {
  const { cases } = read("qp");
  assert.ok(cases.some((one) => one.status === "infeasible"));
  cases.forEach((one, i) => {
    const found = solve(programOf(one));
    assert.equal(found !== null, one.status === "optimal", `program ${i}`);
    if (found) close(found.x, one.x, `program ${i}`, 1e-8);
  });
});

test("bars move tension and image as in the library", () => {
  for (const one of read("strip").cases) {
    const strip = stripOf(one);
    const byPlace = ([x, y]) => one.places.map((_, i) => [[...x.row(i)], [...y.row(i)]]);
    close(byPlace(strip.tension(one.places)), one.tension, "tension", 1e-9);
    close(byPlace(strip.displacement(one.places)), one.displacement, "displacement", 1e-9);
    close(strip.bending.data, one.bending, "bending", 1e-9);
    close(strip.spring.data, one.spring, "spring", 1e-9);
  }
});

test("two checks and a turn all round leave the same state, and the plan the same turns", () => {
  const { basis, tension } = read("plan");
  for (const one of tension) {
    const strip = stripOf(one);
    const { layout } = strip;
    const all = layout.names.map(() => true);
    const fresh = begin(strip, new Bolt(one.bolt.pitch_mm, one.bolt.step_48ths), { basis: new Unevenness(basis) });
    const turned = afterTurns(afterReadings(fresh, readingsOf(one.first_readings)), layout.vector(one.turns), all, all.map(() => false));
    const state = afterReadings(turned, readingsOf(one.readings));
    for (const [key, its] of [["mean", "mean"], ["bar_mm", "barMm"], ["draw_mm", "drawMm"]]) close(state[its], one.state[key], key, 1e-8);
    close(state.covariance.data, one.state.covariance, "covariance", 1e-8);
    const plan = planTension(state, aimAt(one.aim.target_n_per_cm, one.aim.tolerance_n_per_cm), new Limits(one.limits, one.limits), readingsOf(one.readings));
    assert.deepEqual(plan.turns48ths, one.turns_48ths);
    assert.deepEqual([plan.status, plan.message, plan.active], [one.status, one.message, one.active]);
    if (one.unrounded) close(plan.unrounded, one.unrounded, "unrounded");
    if (one.predicted) close(plan.predicted.places.map((_, i) => plan.predicted.mean.map((axis) => axis[i])), one.predicted, "predicted");
  }
});

test("register takes the same turns", () => {
  const { basis, register } = read("plan");
  for (const one of register) {
    const state = begin(stripOf(one), new Bolt(25.4 / 18, 6), { basis: new Unevenness(basis) });
    const plan = planRegister(state, one.marks.map((row) => mark(...row)), registerAim({}), new Limits({}));
    assert.deepEqual(plan.turns48ths, one.turns_48ths);
    assert.equal(plan.status, one.status);
    close([plan.afterMm], [one.after_mm], "after");
  }
});

test("a plan of one bolt says so", () => {
  const { basis, register } = read("plan");
  const [one] = register;
  const { names } = stripOf(one).layout;
  const alone = names.map((free) => {
    const state = begin(stripOf(one), new Bolt(25.4 / 18, 6), { basis: new Unevenness(basis) });
    const limits = new Limits({}, { seized: names.filter((name) => name !== free) });
    return planRegister(state, [mark(0.2, 0.2, 0, 0.6, 0.03), mark(0.2, 0.5, 0, 0.3, 0.03)], registerAim({}), limits);
  });
  const helped = alone.filter((plan) => Object.keys(plan.turns48ths).length);
  assert.ok(helped.length > 0);
  for (const plan of helped) assert.match(plan.message, /^1 bolt: from \d\.\d\d to about/);
});

// A general-purpose library's own Goldfarb and Idnani, which counts from 1. (On the phone it would
// not do: it goes round for ever where limits nearly repeat each other.)
test("random programs have the answer of a library that is not ours", () => {
  for (const [i, one] of read("qp").cases.entries()) {
    if (one.status !== "optimal" || i % 2) continue;
    const n = one.f.length;
    const sides = [
      ...one.low.map((end, j) => [one.f.map((_, k) => Number(j === k)), end]),
      ...one.high.map((end, j) => [one.f.map((_, k) => -Number(j === k)), -end]),
      ...one.a.map((row, j) => [row, one.row_low[j]]),
      ...one.a.map((row, j) => [row.map((x) => -x), -one.row_high[j]]),
    ];
    const theirs = solveQP(
      [[], ...one.h.map((row) => [0, ...row])],
      [0, ...one.f.map((x) => -x)],
      [[], ...Array.from({ length: n }, (_, k) => [0, ...sides.map(([row]) => row[k])])],
      [0, ...sides.map(([, end]) => end)],
    );
    const ours = solve(programOf(one));
    close(ours.x, theirs.solution.slice(1), `program ${i}`, 1e-8);
    const value = dot(ours.x, fromRows(one.h.map((row) => [dot(row, ours.x)])).data) / 2 + dot(one.f, ours.x);
    close([value], [theirs.value[1]], `value ${i}`, 1e-8);
  }
});

/** Whole numbers from a seed (Park and Miller), so that a failure can be had again. */
function dice(seed) {
  let at = seed;
  return (most) => (at = (at * 48271) % 2147483647) % (most + 1);
}

test("a search taken up again with unknowns fixed finds what quadprog finds with them as equalities", () => {
  const n = 7;
  const row = (...ones) => Array.from({ length: n }, (_, k) => ones.reduce((sum, [i, x]) => sum + (i === k ? x : 0), 0));
  const near = Array.from({ length: n - 1 }, (_, i) => row([i, 1], [i + 1, -1]));
  let compared = 0;
  for (let seed = 1; seed <= 300; seed++) {
    const roll = dice(seed * 7919);
    const mixed = Array.from({ length: n }, () => Array.from({ length: n }, () => (roll(200) - 100) / 100));
    const h = mixed.map((a, i) => mixed.map((b, j) => dot(a, b) + Number(i === j) / 10));
    const f = Float64Array.from({ length: n }, () => (roll(2000) - 1000) / 50);
    const ends = (x, count) => new Float64Array(count).fill(x);
    let search = new Search({ h: fromRows(h), f, low: ends(-2, n), high: ends(2, n), a: fromRows(near), rowLow: ends(-1, n - 1), rowHigh: ends(1, n - 1) });
    assert.ok(search.finish());
    const walk = [roll(4) - 2];
    while (walk.length < n) walk.push(Math.min(2, Math.max(-2, walk[walk.length - 1] + roll(2) - 1)));
    const left = [...walk.keys()];
    const fixed = [];
    while (left.length) {
      const [i] = left.splice(roll(left.length - 1), 1);
      const beside = [i - 1, i + 1].find((j) => fixed.includes(j));
      const away = beside === undefined ? null : walk[beside] > 0 ? -2 : 2;
      if (away !== null) {
        const other = new Search(search);
        assert.equal(other.fix(i, walk[beside] + away) && other.finish(), false, `seed ${seed}: two apart`);
      }
      search = new Search(search);
      assert.ok(search.fix(i, walk[i]) && search.finish(), `seed ${seed}: unknown ${i} at ${walk[i]}`);
      fixed.push(i);
      const equal = fixed.map((j) => [row([j, 1]), walk[j]]);
      const sides = [...left.flatMap((j) => [[row([j, 1]), -2], [row([j, -1]), -2]]), ...near.flatMap((one) => [[one, -1], [one.map((x) => -x), -1]])];
      const all = [...equal, ...sides];
      const theirs = solveQP(
        [[], ...h.map((one) => [0, ...one])], [0, ...f.map((x) => -x)],
        [[], ...Array.from({ length: n }, (_, k) => [0, ...all.map(([one]) => one[k])])], [0, ...all.map(([, end]) => end)], equal.length,
      );
      if (theirs.message) continue; // rows between two fixed ones repeat them: quadprog gives up on some
      close(search.x, theirs.solution.slice(1), `seed ${seed} with ${fixed}`, 1e-7);
      compared++;
    }
    close(search.x, walk, `seed ${seed}`, 1e-9);
  }
  assert.ok(compared > 1500, `only ${compared} of 2100 compared`);
});

test("an empty matrix has no rows to break", () => {
  const found = solve({
    h: fromRows([[2]]), f: Float64Array.of(-8), low: Float64Array.of(0), high: Float64Array.of(3),
    a: new Matrix(0, 1), rowLow: new Float64Array(0), rowHigh: new Float64Array(0),
  });
  assert.deepEqual([[...found.x], found.boundActive], [[3], [1]]);
});

test("a reading that contradicts the others is named by its place, sides anticlockwise", () => {
  const strip = stripOf(read("plan").tension[0]);
  const named = [
    "Corner D/A", "Midway along A", "Corner A/B",
    "Midway along D", "The middle", "Midway along B",
    "Corner C/D", "Midway along C", "Corner B/C",
  ];
  const spots = [0.2, 0.5, 0.8].flatMap((v) => [0.2, 0.5, 0.8].map((u) => [u, v]));
  named.forEach((name, odd) => {
    const readings = spots.map(([u, v], i) => reading(u, v, i === odd ? 30 : 18, 18));
    const { message } = afterReadings(begin(strip), readings).surprise;
    assert.ok(message.startsWith(`${name} does not fit the other readings`), `${name}: ${message}`);
  });
});
