// Room for fingers, clamps, colours and spots of the frame drawing.
import assert from "node:assert/strict";
import { test } from "node:test";

import { hiddenBolts } from "../../static/src/shared/drawing/clamps.js";
import { TOUCH, fingerPlaces, layOut } from "../../static/src/shared/drawing/layout.js";
import { SIDES } from "../../static/src/shared/drawing/lie.js";
import { IN_TOLERANCE, missColour } from "../../static/src/shared/drawing/misses.js";
import { LESS, numbersFit, radius, roomFor } from "../../static/src/shared/drawing/room.js";
import { spotName, spotsOf } from "../../static/src/shared/drawing/spots.js";

const spread = (count, length) => Array.from({ length: count }, (_, i) => ((i + 0.5) * length) / count);
const frame = (along, across, a = 1000, b = 800) => ({
  id: "f",
  code: "F0417-N",
  inside_a_mm: a,
  inside_b_mm: b,
  step_48ths: 8,
  bolts: { A: spread(along, a), B: spread(across, b), C: spread(along, a), D: spread(across, b) },
});
const VIEW = /** @type {const} */ ({ face: "squeegee", near: "A" });
const overlap = (one, two) =>
  Math.min(one.x + one.w, two.x + two.w) - Math.max(one.x, two.x) > 0.01 &&
  Math.min(one.y + one.h, two.y + two.h) - Math.max(one.y, two.y) > 0.01;

test("every target of a touch drawing is at least 44 px and none covers another", () => {
  for (const [along, across] of [[5, 4], [7, 5], [8, 6], [16, 16], [2, 1]]) {
    for (const width of [390, 304]) {
      for (const near of SIDES) {
        const layout = layOut(frame(along, across), { face: "print", near }, { width, touch: true, maxHeight: 420 });
        const folded = new Set(layout.sides.filter((side) => side.folded).map((side) => side.side));
        const targets = [
          ...layout.bolts.filter((bolt) => !folded.has(bolt.side)).map((bolt) => bolt.hit),
          ...layout.sides.filter((side) => side.folded).map((side) => side.hit),
        ];
        for (const hit of targets) assert.ok(hit.w >= TOUCH && hit.h >= TOUCH, JSON.stringify(hit));
        targets.forEach((one, i) => {
          for (const two of targets.slice(i + 1)) {
            assert.ok(!overlap(one, two), `${along}/${across} at ${width} ${near}: ${JSON.stringify([one, two])}`);
          }
        });
      }
    }
  }
});

test("sixteen bolts a side unfold, seven fit a phone as they lie or spread", () => {
  const many = layOut(frame(16, 16), VIEW, { width: 390, touch: true });
  assert.ok(many.sides.every((side) => side.folded));
  const few = layOut(frame(7, 4), VIEW, { width: 390, touch: true });
  assert.ok(few.sides.every((side) => !side.folded));
});

test("true places are kept when they are far enough apart", () => {
  assert.deepEqual(fingerPlaces([20, 100, 160], 0, 200), [20, 100, 160]);
  assert.deepEqual(fingerPlaces([20, 40, 60], 0, 180), [30, 90, 150]);
  assert.equal(fingerPlaces([1, 2, 3, 4], 0, 100), null);
});

test("the drawing keeps the frame's proportions and stays inside its box", () => {
  for (const [a, b] of [[1000, 800], [400, 1600], [2000, 500]]) {
    const layout = layOut(frame(4, 4, a, b), VIEW, { width: 360, maxHeight: 300 });
    assert.ok(Math.abs(layout.inner.w / layout.inner.h - a / b) < 1e-9);
    assert.ok(layout.outer.x >= 0 && layout.outer.x + layout.outer.w <= 360 + 1e-9);
    assert.ok(layout.height <= 300 + 1e-9);
  }
});

test("clamps hide the bolts behind them, measured as the frame lies on the press", () => {
  const lain = frame(10, 4);
  const whole = [{ side: "near", from_mm: null, to_mm: null }];
  assert.deepEqual(hiddenBolts(lain, VIEW, whole), lain.bolts.A.map((_, i) => `A${i + 1}`));
  // From the left with C near and the squeegee side up, C counts from left to right.
  const left = [{ side: "near", from_mm: 0, to_mm: 200 }];
  assert.deepEqual(hiddenBolts(lain, { face: "squeegee", near: "C" }, left), ["C1", "C2"]);
  // Print side up, A near: A counts from right to left, so its last bolts lie at the left.
  assert.deepEqual(hiddenBolts(lain, { face: "print", near: "A" }, left), ["A9", "A10"]);
  assert.deepEqual(hiddenBolts(lain, VIEW, []), []);
});

/** Relative luminance and contrast, WCAG 2.2, https://www.w3.org/TR/WCAG22/#dfn-relative-luminance */
function luminance(colour) {
  const parts = [1, 3, 5].map((at) => parseInt(colour.slice(at, at + 2), 16) / 255);
  const [r, g, b] = parts.map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4));
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

test("a reading on the limit is in tolerance, one tenth beyond is not", () => {
  assert.equal(missColour(23.5, 22, 1.5), IN_TOLERANCE);
  assert.equal(missColour(20.5, 22, 1.5), IN_TOLERANCE);
  assert.notEqual(missColour(23.6, 22, 1.5), IN_TOLERANCE);
  assert.notEqual(missColour(20.4, 22, 1.5), missColour(23.6, 22, 1.5));
  assert.equal(missColour(14, null, null), IN_TOLERANCE);
  assert.equal(missColour(0.3, 0.2, 0.1), IN_TOLERANCE);
});

test("black figures keep a contrast of 7:1 on every colour of the scale", () => {
  for (let reading = 5; reading <= 45; reading += 0.5) {
    const contrast = (luminance(missColour(reading, 25, 1.5)) + 0.05) / 0.05;
    assert.ok(contrast >= 7, `${reading}: ${contrast}`);
  }
});

test("the further from target the darker, on both sides", () => {
  const low = [22, 20, 18].map((reading) => luminance(missColour(reading, 24, 1.5)));
  const high = [26, 28, 30].map((reading) => luminance(missColour(reading, 24, 1.5)));
  for (const side of [low, high]) assert.ok(side[0] > side[1] && side[1] > side[2]);
});

test("spots are a palm in from the bars, the same ones from every side", () => {
  const sorted = (spots) => spots.map(({ u, v }) => `${u} ${v}`).sort();
  const lain = frame(7, 5);
  assert.deepEqual(spotsOf("centre", lain, VIEW), [{ u: 0.5, v: 0.5 }]);
  assert.deepEqual(spotsOf("five", lain, VIEW)[1], { u: 0.1, v: 0.125 });
  for (const set of /** @type {const} */ (["five", "nine"])) {
    for (const near of SIDES) {
      assert.deepEqual(sorted(spotsOf(set, lain, { face: "print", near })), sorted(spotsOf(set, lain, VIEW)));
    }
  }
});

test("a walk round nine spots never crosses the frame", () => {
  const spots = spotsOf("nine", frame(7, 5), VIEW);
  const steps = spots.slice(1).map((spot, i) => Math.hypot(spot.u - spots[i].u, spot.v - spots[i].v));
  assert.ok(Math.max(...steps) < 0.5);
});

test("a spot is named as the reader sees it", () => {
  assert.equal(spotName(0.9, 0.9), "far right");
  assert.equal(spotName(0.1, 0.1), "near left");
  assert.equal(spotName(0.5, 0.5), "middle");
  assert.equal(spotName(0.5, 0.1), "near");
});

test("turns stand in all small bolts or in none, and one of two digits is squeezed in", () => {
  const shown = (along, across, width) => layOut(frame(along, across, 800, 1000), VIEW, { width, maxHeight: 330, turned: true });
  const all = (layout, turn) => Object.fromEntries(layout.bolts.map((bolt) => [bolt.name, turn]));
  for (const width of [358, 288]) {
    const layout = shown(9, 11, width);
    assert.ok(numbersFit(layout, { ...all(layout, 36), B10: 60, B11: -66 }, 6), `at ${width}`);
    assert.ok(numbersFit(layout, {}, 6));
    const many = shown(16, 6, width);
    assert.equal(numbersFit(many, all(many, 6), 6), false, `sixteen bolts at ${width}`);
    assert.ok(numbersFit(many, { B1: 6 }, 6), "what does not turn needs no room");
  }
  // As text of its plain width it would be wider than the bolt.
  const narrow = shown(9, 11, 288);
  assert.ok(3 * LESS > roomFor(radius(narrow.bolts.find((bolt) => bolt.name === "B10"), narrow, 60, true, false)));
});
