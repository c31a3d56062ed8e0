// Fitting mesh step by step: the order of steps, the turns they ask, and what the log gets.
import assert from "node:assert/strict";
import { test } from "node:test";

import { fits } from "../../static/src/phone/fold/shapes.js";
import { begin, entriesOfRound, entriesOfStep, moved } from "../../static/src/phone/views/stretch/progress.js";
import { begin as beginRound, nip, tick } from "../../static/src/phone/views/plan/round.js";
import { STRETCHING, coarseRound, pieceOf, preBow, rodsFor, rulesOf } from "../../static/src/phone/views/stretch/rules.js";
import { lockedBefore, stepsOf } from "../../static/src/phone/views/stretch/steps.js";

const frame = {
  id: "0193a6c0-0000-7000-8000-000000000001", lock: "twin_rod", rods: "standard", pitch_mm: 1.25, step_48ths: 8,
  inside_a_mm: 1000, inside_b_mm: 800, bolts: { A: [100, 500, 900], B: [100, 400, 700], C: [100, 500, 900], D: [100, 400, 700] },
};
/** So soft that the limit alone decides. */
const SOFT = { material: "polyester", count_per_cm: 10, thread_um: 30, target_n_per_cm: 25 };
const names = (thing, rules = STRETCHING) => stepsOf(thing, rules, "mm").map((one) => one.name);

test("rods lock opposite sides one after the other; the first from its middle", () => {
  const steps = stepsOf(frame, STRETCHING, "mm");
  const locks = steps.filter((one) => one.side);
  assert.deepEqual(locks.map((one) => one.side), ["A", "C", "B", "D"]);
  assert.deepEqual(locks.map((one) => one.way), ["out", "along", "along", "along"]);
  assert.deepEqual(lockedBefore(steps, "lock_B"), ["A", "C"]);
});

test("strips go in after the slack is out", () => {
  const all = names({ ...frame, lock: "wedge_strip" });
  assert.equal(all.indexOf("slack"), all.indexOf("lock_A") - 1);
  assert.ok(!names(frame).includes("slack"));
});

test("each step says what to do, what can go wrong, and fits a small page", () => {
  for (const lock of ["twin_rod", "wedge_strip"]) {
    for (const step of stepsOf({ ...frame, lock }, STRETCHING, "mm")) {
      assert.ok(step.todo.length >= 1 && step.todo.length <= 3, step.name);
      assert.ok(step.wrong && step.title, step.name);
      assert.ok([...step.todo, step.far, step.wrong].join(" ").length < 260, step.name);
    }
  }
});

test("a round that is gone back to and turned once more leaves entries of its own", () => {
  const steps = ["round_1", "round_2"];
  const first = begin(steps, { face: "squeegee", near: "A" }, {});
  const back = moved(moved(first, steps, 1), steps, -1);
  const left = (/** @type {any} */ fitting) => {
    const round = tick(beginRound([{ bolt: "A1", turn_48ths: 48 }]));
    return entriesOfRound({ ...fitting, round }, { frame: frame.id, screen: fitting.screen, by: {} }).map(({ id }) => id);
  };
  assert.equal(new Set([...left(first), ...left(back)]).size, 4);
  assert.deepEqual(left(back), left(back), "saved again after a crash, it is the same");
  assert.equal(back.screen, first.screen);
});

test("where a lock is freed the mesh is slack there first, and the caution says so", () => {
  for (const lock of ["twin_rod", "wedge_strip"]) {
    const freeing = stepsOf({ ...frame, lock }, STRETCHING, "mm").filter((step) => step.todo.some((text) => /free the lock/i.test(text)));
    assert.deepEqual(freeing.map((step) => step.name), ["corners"]);
    assert.ok(freeing[0].caution.includes("loaded"));
    assert.match(freeing[0].todo.join(" "), /until it is slack there, then free the lock/);
  }
});

test("the shop's rules outrank the usual ones", () => {
  const rules = rulesOf({ stretching: { coarse_rounds: 3, rest_minutes: 30 } });
  assert.equal(rules.rest_minutes, 30);
  assert.equal(rules.overhang_mm, STRETCHING.overhang_mm);
  assert.deepEqual(names(frame, rules).filter((name) => name.startsWith("round_")), ["round_1", "round_2", "round_3"]);
});

test("pre-bow sets the ends out and leaves the middle, in whole steps of the head", () => {
  const turns = Object.fromEntries(preBow(frame, 8).map((one) => [one.bolt, one.turn_48ths]));
  assert.equal(turns.A2, undefined);
  assert.equal(turns.A1, turns.A3);
  assert.equal(turns.A1 % 8, 0);
  assert.ok(Math.abs(turns.A1 / 48 - (8 * 0.8 ** 2) / 1.25) <= 1 / 12);
});

test("end bolts wait in the first round; seized ones never turn; no bolt passes the limit", () => {
  const first = coarseRound(frame, SOFT, { B2: "seized" }, 1, 2, 100);
  assert.deepEqual(first.map((one) => one.bolt), ["A2", "C2", "D2"]);
  const second = coarseRound(frame, SOFT, { B2: "seized" }, 2, 2, 100);
  assert.equal(second.length, 11);
  assert.ok(second.every((one) => one.turn_48ths === 96));
});

test("a stiff mesh gets small coarse turns, fewer the shorter the way across", () => {
  const steel = { material: "stainless", count_per_cm: 128, thread_um: 28, target_n_per_cm: 25 };
  const turns = Object.fromEntries(coarseRound(frame, steel, {}, 2, 2, 96).map((one) => [one.bolt, one.turn_48ths]));
  const fine = Object.fromEntries(coarseRound(frame, { ...steel, material: "polyester", thread_um: 34, count_per_cm: 120 }, {}, 2, 2, 96).map((one) => [one.bolt, one.turn_48ths]));
  assert.equal(turns.A2, 8);
  assert.ok(fine.A2 < fine.B2);
});

test("a side of two bolts has no end bolts to wait", () => {
  const small = { ...frame, bolts: { A: [100, 900], B: [100, 700], C: [100, 900], D: [100, 700] } };
  assert.equal(coarseRound(small, SOFT, {}, 1, 2, 96).length, 8);
});

test("the piece has overhang and lock on both ends", () => {
  assert.deepEqual(pieceOf(frame, STRETCHING), { a: 1160, b: 960 });
});

test("rods come from the shop's table by mesh, else from the frame", () => {
  const rules = rulesOf({ stretching: { rods: [{ material: "polyester", from_per_cm: 10, to_per_cm: 40, rods: "thin" }] } });
  assert.equal(rodsFor({ material: "polyester", count_per_cm: 32 }, frame, rules), "thin");
  assert.equal(rodsFor({ material: "stainless", count_per_cm: 32 }, frame, rules), "standard");
});

const view = { face: "squeegee", near: "A" };
const by = { operator: null, scanned: null };
const start = () => begin(names(frame), view, { rock: "", mesh: null, rods: "", warp: "y" });

test("the last lock begins the screen, and what it leaves fits the log", () => {
  const fitting = { ...start(), at: "lock_D" };
  const fitted = { mesh: frame.id, warp: "y", target_n_per_cm: 21, tolerance_n_per_cm: 1.5 };
  const [mesh, step] = entriesOfStep(fitting, { frame: frame.id, by, payload: { step: "locked", sides: ["A", "C", "B", "D"] }, fitted });
  assert.equal(mesh.kind, "mesh_fitted");
  assert.equal(mesh.screen, mesh.id);
  assert.equal(step.screen, mesh.id);
  for (const one of [mesh, step]) assert.ok(fits(one.kind, one.payload), one.kind);
});

test("saving a step again is the same entry", () => {
  const fitting = start();
  const about = { frame: frame.id, by, payload: { step: "inspected", rock_mm: 0.5 } };
  assert.equal(entriesOfStep(fitting, about)[0].id, entriesOfStep({ ...fitting }, about)[0].id);
});

test("a coarse round leaves what was ticked and what was nipped", () => {
  const asked = coarseRound(frame, SOFT, {}, 1, 2, 96);
  const round = nip(tick(tick(beginRound(asked))), "A1", 8);
  const [turns, nipped] = entriesOfRound({ ...start(), at: "round_1", round }, { frame: frame.id, screen: frame.id, by });
  assert.deepEqual(turns.payload.bolts.map((one) => one.bolt), ["A2", "B2"]);
  assert.equal(turns.payload.purpose, "stretch");
  assert.deepEqual(nipped.payload.bolts, [{ bolt: "A1", turn_48ths: 8 }]);
  for (const one of [turns, nipped]) assert.ok(fits(one.kind, one.payload), one.kind);
});

test("going back and forth stays within the steps", () => {
  const all = names(frame);
  assert.equal(moved(start(), all, -1).at, all[0]);
  assert.equal(moved({ ...start(), at: all.at(-1) }, all, 1).at, all.at(-1));
});
