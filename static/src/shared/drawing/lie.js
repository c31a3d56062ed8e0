/**
 * How a frame lies before the reader. Data never turn; this is the only place where they are
 * turned for the eye, and turned back for the finger.
 *
 * @typedef {import("../types.js").View} View
 * @typedef {import("../types.js").Side} Side
 * @typedef {import("../types.js").Place} Place
 */

/**
 * Rows of the turning matrix about the middle of the frame: (u, v) to the reader's right and away.
 * Print side up is the mirror image, so its matrices have determinant -1.
 * @type {Record<View["face"], Record<Side, [number, number, number, number]>>}
 */
const TURNED = {
  squeegee: { A: [1, 0, 0, 1], B: [0, 1, -1, 0], C: [-1, 0, 0, -1], D: [0, -1, 1, 0] },
  print: { A: [-1, 0, 0, 1], B: [0, -1, -1, 0], C: [1, 0, 0, -1], D: [0, 1, 1, 0] },
};

/** Middle of each side in frame fractions. @type {Record<Side, [number, number]>} */
const MIDDLE = { A: [0.5, 0], B: [1, 0.5], C: [0.5, 1], D: [0, 0.5] };

/** @type {Side[]} */
export const SIDES = ["A", "B", "C", "D"];

/** Vector of frame axes as the reader sees it. @param {View} view @param {number} x @param {number} y @returns {[number, number]} */
export function seenVector(view, x, y) {
  const [a, b, c, d] = TURNED[view.face][view.near];
  return [a * x + b * y, c * x + d * y];
}

/** The inverse: the matrices are orthogonal. @param {View} view @param {number} right @param {number} away @returns {[number, number]} */
export function frameVector(view, right, away) {
  const [a, b, c, d] = TURNED[view.face][view.near];
  return [a * right + c * away, b * right + d * away];
}

/** Frame fractions to (right, away), each 0..1. @param {View} view @param {number} u @param {number} v @returns {[number, number]} */
export function seenPoint(view, u, v) {
  const [p, q] = seenVector(view, u - 0.5, v - 0.5);
  return [p + 0.5, q + 0.5];
}

/** (right, away) back to frame fractions. @param {View} view @param {number} right @param {number} away @returns {[number, number]} */
export function framePoint(view, right, away) {
  const [u, v] = frameVector(view, right - 0.5, away - 0.5);
  return [u + 0.5, v + 0.5];
}

/** Where a side lies for the reader. @param {View} view @param {Side} side @returns {Place} */
export function placeOf(view, side) {
  const [p, q] = seenPoint(view, ...MIDDLE[side]);
  if (q === 0) return "near";
  if (q === 1) return "far";
  return p === 1 ? "right" : "left";
}

/** Which side lies there. @param {View} view @param {Place} place @returns {Side} */
export function sideAt(view, place) {
  const found = SIDES.find((side) => placeOf(view, side) === place);
  if (!found) throw new RangeError(`no side lies at ${place}`);
  return found;
}

/** The frame turned a quarter clockwise on the table: what lay right comes near. @param {View} view @returns {View} */
export const turnedQuarter = (view) => ({ face: view.face, near: sideAt(view, "right") });

/** The frame turned over about its near side. @param {View} view @returns {View} */
export const turnedOver = (view) => ({
  face: view.face === "squeegee" ? "print" : "squeegee",
  near: view.near,
});

/** Does a meter laid along A lie left to right for the reader? @param {View} view */
export const alongIsAcrossReader = (view) => view.near === "A" || view.near === "C";

/**
 * Place of a bolt in frame fractions.
 * @param {import("../types.js").Frame} frame @param {Side} side
 * @param {number} mm along the side from its first corner in counting order
 * @returns {[number, number]}
 */
export function boltPoint(frame, side, mm) {
  const s = mm / (side === "A" || side === "C" ? frame.inside_a_mm : frame.inside_b_mm);
  return /** @type {Record<Side, [number, number]>} */ ({
    A: [s, 0],
    B: [1, s],
    C: [1 - s, 1],
    D: [0, 1 - s],
  })[side];
}
