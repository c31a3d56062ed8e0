// Handedness: a reading is entered where it was taken, however the frame lies, and stays there.
import assert from "node:assert/strict";
import { test } from "node:test";

import { layOut, toDrawing } from "../../static/src/shared/drawing/layout.js";
import {
  SIDES,
  alongIsAcrossReader,
  boltPoint,
  framePoint,
  frameVector,
  placeOf,
  seenPoint,
  seenVector,
  sideAt,
  turnedOver,
  turnedQuarter,
} from "../../static/src/shared/drawing/lie.js";

const FRAME = {
  id: "f",
  code: "F0417-N",
  inside_a_mm: 1000,
  inside_b_mm: 800,
  step_48ths: 8,
  bolts: { A: [100, 500, 900], B: [100, 700], C: [100, 500, 900], D: [100, 700] },
};
const FACES = /** @type {const} */ (["squeegee", "print"]);
const VIEWS = FACES.flatMap((face) => SIDES.map((near) => ({ face, near })));

/** Names of the two bolts closest to a point, where the reader sees them. */
function nearestBolts(layout, x, y) {
  return layout.bolts
    .map((bolt) => ({ name: bolt.name, far: Math.hypot(bolt.x - x, bolt.y - y) }))
    .sort((a, b) => a.far - b.far)
    .slice(0, 2)
    .map((bolt) => bolt.name)
    .sort();
}

// The corner of A and B holds 14 N/cm. Where the reader sees it is worked out by hand from a
// frame on a table: squeegee side up it lies near right with A near; each quarter turn clockwise
// brings it round; turned over about the near side, left and right change places.
const WHERE_THE_SLACK_CORNER_LIES = {
  "squeegee A": [1, 0],
  "squeegee B": [0, 0],
  "squeegee C": [0, 1],
  "squeegee D": [1, 1],
  "print A": [0, 0],
  "print B": [1, 0],
  "print C": [1, 1],
  "print D": [0, 1],
};

test("14 N/cm in one corner is the same corner and the same bolts from every side", () => {
  for (const view of VIEWS) {
    const seen = WHERE_THE_SLACK_CORNER_LIES[`${view.face} ${view.near}`];
    const [right, away] = seen.map((end) => 0.5 + (end - 0.5) * 0.8);
    const [u, v] = framePoint(view, right, away);
    assert.deepEqual([u, v].map((at) => Math.round(at * 1000) / 1000), [0.9, 0.1], `${view.face} ${view.near}`);

    const layout = layOut(FRAME, view, { width: 360 });
    assert.deepEqual(nearestBolts(layout, ...toDrawing(layout, u, v)), ["A3", "B1"], `${view.face} ${view.near}`);
  }
});

test("sides run anticlockwise seen from the squeegee side and clockwise from the print side", () => {
  const round = (view) => ["near", "right", "far", "left"].map((place) => sideAt(view, place)).join("");
  assert.equal(round({ face: "squeegee", near: "A" }), "ABCD");
  assert.equal(round({ face: "squeegee", near: "C" }), "CDAB");
  assert.equal(round({ face: "print", near: "A" }), "ADCB");
  assert.equal(round({ face: "print", near: "D" }), "DCBA");
});

test("a quarter turn brings the right side near, four bring the frame back", () => {
  for (const view of VIEWS) {
    assert.equal(turnedQuarter(view).near, sideAt(view, "right"));
    assert.deepEqual(turnedQuarter(turnedQuarter(turnedQuarter(turnedQuarter(view)))), view);
  }
});

test("turned over about its near side, the near side stays near and left becomes right", () => {
  for (const view of VIEWS) {
    const over = turnedOver(view);
    assert.equal(placeOf(over, view.near), "near");
    assert.equal(sideAt(over, "left"), sideAt(view, "right"));
    assert.deepEqual(turnedOver(over), view);
  }
});

test("seeing and pointing undo each other, for points and for arrows", () => {
  for (const view of VIEWS) {
    for (const [a, b] of [[0, 0], [0.2, 0.7], [1, 0.25]]) {
      const back = framePoint(view, ...seenPoint(view, a, b));
      assert.ok(Math.abs(back[0] - a) < 1e-12 && Math.abs(back[1] - b) < 1e-12);
      assert.deepEqual(frameVector(view, ...seenVector(view, a, b)).map((x) => x + 0), [a, b]);
    }
  }
});

test("the mirror shows in arrows: print side up turns the sense of rotation round", () => {
  for (const view of VIEWS) {
    const [ax, ay] = seenVector(view, 1, 0);
    const [bx, by] = seenVector(view, 0, 1);
    assert.equal(ax * by - ay * bx, view.face === "squeegee" ? 1 : -1);
  }
});

test("bolts count round the frame: A and C against each other, B and D against each other", () => {
  assert.deepEqual(boltPoint(FRAME, "A", 100), [0.1, 0]);
  assert.deepEqual(boltPoint(FRAME, "B", 100), [1, 0.125]);
  assert.deepEqual(boltPoint(FRAME, "C", 100), [0.9, 1]);
  assert.deepEqual(boltPoint(FRAME, "D", 100), [0, 0.875]);
});

test("a meter along A lies left to right only when A or C is near", () => {
  assert.deepEqual(SIDES.map((near) => alongIsAcrossReader({ face: "print", near })), [true, false, true, false]);
});

test("the punch mark lies beside A1 towards the corner of D and A, from every side", () => {
  for (const view of VIEWS) {
    const layout = layOut(FRAME, view, { width: 360 });
    const a1 = layout.bolts.find((bolt) => bolt.name === "A1");
    const a2 = layout.bolts.find((bolt) => bolt.name === "A2");
    const off = [layout.punch.x - a1.x, layout.punch.y - a1.y];
    assert.ok(off[0] * (a2.x - a1.x) + off[1] * (a2.y - a1.y) < 0, `${view.face} ${view.near}`);
  }
});
