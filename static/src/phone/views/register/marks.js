/** Marks of several pulls, as tapped in: where, the way it printed, how far on each pull. Pure. */
import { framePoint, frameVector, seenPoint } from "../../../shared/drawing/lie.js";

const STEP_MM = 0.05;
const FIRST_MM = 0.1;
const MOST_MM = 5;
/** A tap so near to a mark means that mark, fractions of the frame. */
const SAME = 0.1;
export const MOST_MARKS = 4;

const tidy = (/** @type {number} */ mm) => Math.round(mm * 1000) / 1000 + 0;

/**
 * @typedef {import("../../../shared/types.js").View} View
 * @typedef {import("../../../shared/types.js").Mark} Mark
 *
 * @typedef {{u: number, v: number, right: number, away: number, mm: number[]}} Tapped  `right` and
 *   `away` in -1, 0, 1 as seen; `mm` along that way, one for each pull, below nought the other way
 */

/** @param {{u: number, v: number}} at @param {number} pulls @returns {Tapped} on its place, until a way is told */
export const markAt = ({ u, v }, pulls) => ({ u: tidy(u), v: tidy(v), right: 0, away: 0, mm: Array(pulls).fill(0) });

/** The mark that a tap means, -1 for a new one. @param {Tapped[]} marks @param {{u: number, v: number}} at */
export const markNear = (marks, { u, v }) => marks.findIndex((one) => Math.hypot(one.u - u, one.v - v) < SAME);

/** The way it printed; what is nought on all pulls begins with a first distance. @param {Tapped} mark @param {{right: number, away: number}} way @returns {Tapped} */
export function towards(mark, { right, away }) {
  const none = right === 0 && away === 0;
  const far = mark.mm.every((mm) => mm === 0) ? mark.mm.map(() => FIRST_MM) : mark.mm;
  return { ...mark, right, away, mm: none ? mark.mm.map(() => 0) : far };
}

/** Pulls that nobody told apart follow the first. @param {Tapped} mark @param {number} pull @param {number} far mm along the way @returns {Tapped} */
export function setTo(mark, pull, far) {
  const kept = Math.max(-MOST_MM, Math.min(MOST_MM, tidy(far)));
  const follows = (/** @type {number} */ mm) => pull === 0 && mm === mark.mm[0];
  return { ...mark, mm: mark.mm.map((mm, i) => (i === pull || follows(mm) ? kept : mm)) };
}

/** The frame lies otherwise than was told: marks stay where the reader saw them. @param {Tapped[]} marks @param {View} from @param {View} to @returns {Tapped[]} */
export const lainOtherwise = (marks, from, to) =>
  marks.map((mark) => {
    const [u, v] = framePoint(to, ...seenPoint(from, mark.u, mark.v));
    return { ...mark, u: tidy(u), v: tidy(v) };
  });

/** @param {Tapped} mark @param {number} pull @param {1 | -1} by steps @returns {Tapped} */
export const further = (mark, pull, by) => setTo(mark, pull, mark.mm[pull] + by * STEP_MM);

/** @param {View} view @param {Tapped} mark @param {number} mm @returns {Mark} in frame axes */
function inFrame(view, { u, v, right, away }, mm) {
  const size = Math.hypot(right, away) || 1;
  const [dx, dy] = frameVector(view, (right / size) * mm, (away / size) * mm);
  return { u, v, dx_mm: tidy(dx), dy_mm: tidy(dy) };
}

/** @param {View} view @param {Tapped[]} marks @returns {Mark[][]} for each pull its marks */
export function pullsOf(view, marks) {
  const count = marks[0]?.mm.length ?? 0;
  return Array.from({ length: count }, (_, pull) => marks.map((mark) => inFrame(view, mark, mark.mm[pull])));
}

/** @param {View} view @param {Tapped[]} marks @returns {Mark[]} */
export const meansOf = (view, marks) =>
  marks.map((mark) => inFrame(view, mark, mark.mm.reduce((sum, mm) => sum + mm, 0) / mark.mm.length));

/**
 * How much longer the key colour printed than its film, as marks: spread over the outermost of
 * the marks told. Empty where nothing was told, or the marks lie on one line across that way.
 * @param {View} view @param {Tapped[]} marks @param {{right: number, away: number}} growth mm, + longer
 * @returns {Mark[]}
 */
export function keyMarks(view, marks, { right, away }) {
  if ((!right && !away) || marks.length < 2) return [];
  const seen = marks.map(({ u, v }) => seenPoint(view, u, v));
  const share = (/** @type {0 | 1} */ axis) => {
    const at = seen.map((point) => point[axis]);
    const [low, high] = [Math.min(...at), Math.max(...at)];
    return at.map((one) => (high - low < SAME ? 0 : (one - (low + high) / 2) / (high - low)));
  };
  const [across, along] = [share(0), share(1)];
  return marks.map(({ u, v }, i) => {
    const [dx, dy] = frameVector(view, across[i] * right, along[i] * away);
    return { u, v, dx_mm: tidy(dx), dy_mm: tidy(dy) };
  });
}

/**
 * A few points of the curve of miss against bolts: the one advised, one with more bolts, and some
 * with clearly fewer. What is left is the larger of the miss at the marks and between them.
 * @param {{bolts: number, marks_mm: number, image_mm: number}[]} curve most bolts first
 * @param {number} advised bolts @param {number} after_mm left at the marks as advised, in whole steps
 * @returns {{bolts: number, left_mm: number}[]}
 */
export function choicesOf(curve, advised, after_mm) {
  const nearest = (/** @type {number} */ wanted) => curve.reduce((best, point) => (Math.abs(point.bolts - wanted) < Math.abs(best.bolts - wanted) ? point : best));
  if (curve.length === 0) return [];
  const more = curve.findLast((point) => point.bolts > advised);
  const counts = [more?.bolts ?? advised, advised, nearest((advised * 2) / 3).bolts, nearest(advised / 3).bolts];
  const wanted = new Set(counts.filter((count) => count > 0));
  return curve.filter((point) => wanted.has(point.bolts)).map(({ bolts, marks_mm, image_mm }) => ({
    bolts, left_mm: Math.max(bolts === advised ? after_mm : marks_mm, image_mm),
  }));
}
