// Codes, turns, numbers and ages as the shop floor writes them.
import assert from "node:assert/strict";
import { test } from "node:test";

import { ageText, agoText, whenText } from "../../static/src/shared/ages.js";
import { boltsText, turnNumber, turnText } from "../../static/src/shared/turns.js";
import { countText, meshText, readNumber, sizeText, tensionText } from "../../static/src/shared/units.js";

test("turns are told in the step of the head", () => {
  assert.equal(turnText(16, 8), "+2 flats");
  assert.equal(turnText(8, 8), "+1 flat");
  assert.equal(turnText(-8, 8), "−1 flat");
  assert.equal(turnText(6, 6), "+1/8 turn");
  assert.equal(turnText(-12, 6), "−1/4 turn");
  assert.equal(turnText(54, 6), "+1 1/8 turns");
  assert.equal(turnText(3, 3), "+1/16 turn");
  assert.equal(turnText(48, 6), "+1 turn");
  assert.equal(turnText(0, 8), "no turn");
  // Flats and eighths together are no whole number of either.
  assert.equal(turnText(14, 8), "+7/24 turn");
});

test("numbers at the bolts count steps", () => {
  assert.equal(turnNumber(16, 8), "+2");
  assert.equal(turnNumber(-6, 6), "−1");
  assert.equal(turnNumber(14, 8), "+14/48");
});

test("bolts with the same turn are told together", () => {
  const bolts = [["A1", 8], ["A2", 8], ["C3", -8]].map(([bolt, turn_48ths]) => ({ bolt, turn_48ths }));
  assert.equal(boltsText(bolts, 8), "A1 A2 +1 flat · C3 −1 flat");
  const side = [5, 4, 3, 2, 1].map((number) => ({ bolt: `D${number}`, turn_48ths: 8 }));
  assert.equal(boltsText([...side, ...bolts], 8), "D1–D5 A1 A2 +1 flat · C3 −1 flat");
  assert.equal(boltsText([], 8), "");
});

test("tension keeps halves and tenths", () => {
  assert.deepEqual([22, 21.5, 21.3, 21.96, 0.5, -1.5, -0.5, -0.04].map(tensionText), ["22", "21½", "21.3", "22", "½", "-1½", "-½", "0"]);
});

test("decimal comma, point, half and true minus are read; anything else is not a number", () => {
  assert.deepEqual(["0,1", "0.1", "21½", "½", "−2", "-2,5", " 7 "].map(readNumber), [0.1, 0.1, 21.5, 0.5, -2, -2.5, 7]);
  assert.deepEqual(["-1½", "−½", "5.", ".5", "-0"].map(readNumber), [-1.5, -0.5, 5, 0.5, 0]);
  assert.deepEqual(["", "-", ".", "½½", "1e9", "9".repeat(400), `0.${"3".repeat(400)}`, "²"].map(readNumber), Array(8).fill(null));
  assert.deepEqual(["", "x", "1,2,3", "-", "1e3", "½½"].map(readNumber), Array(6).fill(null));
});

test("sizes and meshes in the shop's units", () => {
  const frame = { inside_a_mm: 1000, inside_b_mm: 800 };
  assert.equal(sizeText(frame), "100 × 80 cm");
  assert.equal(sizeText(frame, "in"), "39.4 × 31.5 in");
  const mesh = { name: "90-48", count_per_cm: 90, count_per_inch: 225, thread_um: 48 };
  assert.equal(meshText(mesh, "cm"), "90 threads/cm, 48 µm");
  assert.equal(meshText(mesh, "in"), "225 threads/in, 48 µm");
  assert.equal(countText(1234567), "1\u202f234\u202f567");
});

test("ages as people say them", () => {
  const minute = 60_000;
  const told = [0, 25 * minute, 60 * minute, 47 * 60 * minute, 20 * 1440 * minute, 90 * 1440 * minute].map(ageText);
  assert.deepEqual(told, ["just now", "25 min", "1 h", "1 day", "2 weeks", "3 months"]);
  assert.equal(agoText(1_000_000, 1_000_000 + 25 * minute), "25 min ago");
  assert.equal(agoText(2_000_000, 1_000_000), "just now");
});

test("times of today without a day, of this week with one", () => {
  const now = new Date(2026, 10, 25, 15, 0).getTime();
  assert.equal(whenText(new Date(2026, 10, 25, 10, 42), now), "10:42");
  assert.equal(whenText(new Date(2026, 10, 23, 14, 5), now), "Mon 14:05");
  assert.equal(whenText(new Date(2026, 9, 1, 8, 0), now), "1 Oct 2026");
});
