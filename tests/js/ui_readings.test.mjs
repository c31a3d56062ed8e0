// The number pad of a check: what keys make of readings.
import assert from "node:assert/strict";
import { test } from "node:test";

import {
  begin,
  goTo,
  keyOf,
  offNeighbours,
  press,
  range,
  readFrom,
  readSpots,
  skip,
  walk,
} from "../../static/src/phone/views/check/readings.js";

const FIVE = [[0.5, 0.5], [0.1, 0.1], [0.9, 0.1], [0.9, 0.9], [0.1, 0.9]].map(([u, v]) => ({ u, v }));
const ONE = [FIVE[0]];
const type = (state, keys) => [...keys].reduce((now, key) => press(now, key === "<" ? "back" : key), state);
const values = (state) => walk(state.spots, state.order).map((step) => state.read[step.key] ?? null);

test("two digits make a reading and go on by themselves", () => {
  const state = type(begin(FIVE, "both"), "2221");
  assert.deepEqual(values(state).slice(0, 3), [22, 21, null]);
  assert.equal(state.at, 2);
});

test("the half amends the reading just finished, and takes itself back", () => {
  assert.deepEqual(values(type(begin(ONE, "both"), "21½22")), [21.5, 22]);
  assert.deepEqual(values(type(begin(ONE, "both"), "21½½")), [21, null]);
  assert.deepEqual(values(type(begin(ONE, "both"), "2½1")), [21, null]);
  assert.deepEqual(values(type(begin(ONE, "both"), "½")), [null, null]);
});

test("below ten starts with a nought; nought nought is a slip", () => {
  assert.deepEqual(values(type(begin(ONE, "both"), "08½")), [8.5, null]);
  assert.deepEqual(values(type(begin(ONE, "both"), "0019")), [19, null]);
});

test("ten readings at five spots take twenty digits, and more keys change nothing", () => {
  const state = type(begin(FIVE, "both"), "20212223242526272829");
  assert.deepEqual(values(state), [20, 21, 22, 23, 24, 25, 26, 27, 28, 29]);
  assert.deepEqual(values(press(state, "3")), values(state));
  assert.deepEqual(values(press(state, "½")).at(-1), 29.5);
});

test("a step back takes the digit, then the readings one by one", () => {
  const state = type(begin(FIVE, "both"), "22212");
  assert.equal(press(state, "back").typed, "");
  assert.deepEqual(values(type(state, "<<")).slice(0, 2), [22, null]);
  assert.equal(type(state, "<<").at, 1);
  assert.deepEqual(values(type(state, "<<<")).slice(0, 2), [null, null]);
  assert.deepEqual(values(type(state, "<<<<<<<")), values(begin(FIVE, "both")));
});

test("a half is amended again after stepping back to it", () => {
  assert.deepEqual(values(type(begin(ONE, "both"), "2122<½")), [21.5, null]);
});

test("a meter that shows tenths: point and digit amend the reading just finished", () => {
  assert.deepEqual(values(type(begin(ONE, "both"), "21.322")), [21.3, 22]);
  assert.deepEqual(values(type(begin(ONE, "both"), "21.3.4")), [21.4, null]);
  assert.deepEqual(values(type(begin(ONE, "both"), ".21.<22")), [21, 22]);
});

test("all one way first walks round twice", () => {
  const state = type(begin(FIVE, "along_first"), "2021222324");
  assert.ok(FIVE.every((spot) => keyOf(spot, "along_a") in state.read));
  assert.ok(FIVE.every((spot) => !(keyOf(spot, "across_a") in state.read)));
  assert.equal(walk(FIVE, "along_first")[state.at].direction, "across_a");
});

test("a skipped step stays empty; going there again fills it and goes on to the next empty one", () => {
  let state = type(skip(begin(FIVE, "both")), "22");
  assert.deepEqual(values(state).slice(0, 3), [null, 22, null]);
  state = type(goTo(state, 0), "21");
  assert.equal(state.at, 2);
});

test("only spots that were read are saved, and they read back the same", () => {
  const state = type(begin(FIVE, "both"), "2221½19");
  assert.deepEqual(readSpots(state), [
    { u: 0.5, v: 0.5, along_a_n_per_cm: 22, across_a_n_per_cm: 21.5 },
    { u: 0.1, v: 0.1, along_a_n_per_cm: 19, across_a_n_per_cm: null },
  ]);
  assert.deepEqual(readFrom(readSpots(state)), state.read);
});

test("the spread is over the means of the spots", () => {
  assert.equal(range(begin(FIVE, "both")), null);
  assert.deepEqual(range(type(begin(FIVE, "both"), "2220" + "2424")), { low: 21, high: 24, spread: 3 });
});

test("a reading is compared with its neighbours in the same direction, else with its other direction", () => {
  assert.equal(offNeighbours(type(begin(FIVE, "both"), "22"), 0), null);
  assert.equal(offNeighbours(type(begin(FIVE, "both"), "2226"), 1), 4);
  // Second spot along A reads 14 where the centre reads 22.
  assert.equal(offNeighbours(type(begin(FIVE, "both"), "222214"), 2), 8);
  // Near right 24 lies beside the centre, 22, and near left, 21.
  assert.equal(offNeighbours(type(begin(FIVE, "along_first"), "222124"), 2), 2.5);
  // Far right 24 opposite near left 21 is not compared with it: the centre and near right are closer.
  assert.equal(offNeighbours(type(begin(FIVE, "along_first"), "22142424"), 3), 1);
});
