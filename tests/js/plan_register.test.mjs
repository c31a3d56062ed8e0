// Marks of several pulls, as tapped in by somebody before the press.
import assert from "node:assert/strict";
import { test } from "node:test";

import { choicesOf, further, keyMarks, lainOtherwise, markAt, markNear, meansOf, pullsOf, setTo, towards } from "../../static/src/phone/views/register/marks.js";

const A = /** @type {const} */ ({ face: "squeegee", near: "A" });
const TURNED = /** @type {const} */ ({ face: "print", near: "C" });
const marked = (at, way, ...mm) => ({ ...at, right: way[0], away: way[1], mm });

test("a mark begins on its place, and a way gives it a first distance", () => {
  const mark = markAt({ u: 0.2, v: 0.3 }, 3);
  assert.deepEqual(pullsOf(A, [mark]), Array(3).fill([{ u: 0.2, v: 0.3, dx_mm: 0, dy_mm: 0 }]));
  const off = towards(mark, { right: -1, away: 0 });
  assert.deepEqual(meansOf(A, [off]), [{ u: 0.2, v: 0.3, dx_mm: -0.1, dy_mm: 0 }]);
  assert.deepEqual(towards(off, { right: 0, away: 0 }).mm, [0, 0, 0]);
});

test("each pull has its distance along the way, below nought the other way", () => {
  let mark = towards(markAt({ u: 0.5, v: 0.5 }, 3), { right: 1, away: 0 });
  for (const by of /** @type {const} */ ([-1, -1, -1])) mark = further(mark, 1, by);
  for (const by of /** @type {const} */ ([1, 1])) mark = further(mark, 2, by);
  assert.deepEqual(pullsOf(A, [mark]).map(([one]) => one.dx_mm), [0.1, -0.05, 0.2]);
  assert.equal(meansOf(A, [mark])[0].dx_mm, 0.083);
  assert.deepEqual(setTo(mark, 0, -0.06).mm, [-0.06, -0.05, 0.2]);
  assert.deepEqual(setTo(mark, 0, 80).mm[0], 5);
});

test("what was seen is kept in the frame's own axes, however it lies", () => {
  const slant = marked({ u: 0.5, v: 0.5 }, [1, 1], 0.2);
  assert.deepEqual(meansOf(A, [slant]), [{ u: 0.5, v: 0.5, dx_mm: 0.141, dy_mm: 0.141 }]);
  // Print side up with C near: right is along +x, away from the reader is towards A.
  assert.deepEqual(meansOf(TURNED, [slant]), [{ u: 0.5, v: 0.5, dx_mm: 0.141, dy_mm: -0.141 }]);
});

test("pulls that nobody told apart follow the first", () => {
  const mark = towards(markAt({ u: 0.5, v: 0.5 }, 3), { right: 1, away: 0 });
  assert.deepEqual(setTo(mark, 0, 0.3).mm, [0.3, 0.3, 0.3]);
  assert.deepEqual(setTo(setTo(mark, 1, 0.2), 0, 0.3).mm, [0.3, 0.2, 0.3]);
});

test("marks stay where they were seen when the frame turns out to lie otherwise", () => {
  const [mark] = lainOtherwise([marked({ u: 0.2, v: 0.3 }, [1, 0], 0.2)], A, { face: "squeegee", near: "C" });
  assert.deepEqual([mark.u, mark.v, mark.right], [0.8, 0.7, 1]);
});

test("a tap near a mark means that mark", () => {
  const marks = [markAt({ u: 0.2, v: 0.2 }, 1), markAt({ u: 0.8, v: 0.2 }, 1)];
  assert.equal(markNear(marks, { u: 0.75, v: 0.22 }), 1);
  assert.equal(markNear(marks, { u: 0.5, v: 0.5 }), -1);
});

test("the key colour's growth is spread over the outermost marks", () => {
  const marks = [markAt({ u: 0.1, v: 0.2 }, 1), markAt({ u: 0.9, v: 0.2 }, 1), markAt({ u: 0.5, v: 0.8 }, 1)];
  assert.deepEqual(keyMarks(A, marks, { right: 0.4, away: 0 }).map((one) => [one.dx_mm, one.dy_mm]), [[-0.2, 0], [0.2, 0], [0, 0]]);
  assert.deepEqual(keyMarks(A, marks, { right: 0, away: -0.2 }).map((one) => one.dy_mm), [0.1, 0.1, -0.1]);
  assert.deepEqual(keyMarks(A, marks, { right: 0, away: 0 }), []);
  assert.deepEqual(keyMarks(A, marks.slice(0, 1), { right: 0.4, away: 0 }), []);
  assert.deepEqual(keyMarks(A, marks.slice(0, 2), { right: 0, away: 0.3 }).map((one) => one.dy_mm), [0, 0]);
});

test("the operator chooses between clearly different numbers of bolts", () => {
  const curve = [28, 14, 13, 9, 5, 1].map((bolts) => ({ bolts, marks_mm: 0.2 / bolts, image_mm: 0.1 }));
  const offered = choicesOf(curve, 14, 0.12);
  assert.deepEqual(offered.map((one) => one.bolts), [28, 14, 9, 5]);
  assert.equal(offered[1].left_mm, 0.12);
  assert.deepEqual(choicesOf([{ bolts: 2, marks_mm: 0.03, image_mm: 0.02 }], 2, 0.03), [{ bolts: 2, left_mm: 0.03 }]);
  assert.deepEqual(choicesOf([], 0, 0), []);
});
