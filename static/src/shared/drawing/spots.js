/**
 * Where on the mesh a check reads: about a palm in from the bars, in the order in which the
 * reader comes to them. Common practice, no source for the palm's 100 mm.
 */
import { t } from "../language.js";
import { framePoint } from "./lie.js";

const PALM_MM = 100;
const FURTHEST_IN = 0.25;

/** Order of walking, as (right, away) in -1, 0, 1 from the middle. */
const WALK = {
  centre: [[0, 0]],
  five: [[0, 0], [-1, -1], [1, -1], [1, 1], [-1, 1]],
  nine: [[-1, -1], [0, -1], [1, -1], [1, 0], [0, 0], [-1, 0], [-1, 1], [0, 1], [1, 1]],
};

/** @typedef {keyof typeof WALK} SpotSet */

/**
 * @param {SpotSet} set @param {import("../types.js").Frame} frame @param {import("../types.js").View} view
 * @returns {{u: number, v: number}[]} frame fractions, rounded so that a spot is the same every time
 */
export function spotsOf(set, frame, view) {
  const inU = Math.min(FURTHEST_IN, PALM_MM / frame.inside_a_mm);
  const inV = Math.min(FURTHEST_IN, PALM_MM / frame.inside_b_mm);
  const place = (/** @type {number} */ side, /** @type {number} */ inset) =>
    Math.round((0.5 + Math.sign(side - 0.5) * (0.5 - inset)) * 1000) / 1000;
  return WALK[set].map(([right, away]) => {
    const [u, v] = framePoint(view, (right + 1) / 2, (away + 1) / 2);
    return { u: place(u, inU), v: place(v, inV) };
  });
}

/** From near to far, in each row from left to right. */
const NAMES = [
  [t`near left`, t`near`, t`near right`],
  [t`left`, t`middle`, t`right`],
  [t`far left`, t`far`, t`far right`],
];

/** "far right", "middle", "near": a spot in words, for a reader before it. @param {number} right @param {number} away */
export function spotName(right, away) {
  const third = (/** @type {number} */ at) => (at < 1 / 3 ? 0 : at > 2 / 3 ? 2 : 1);
  return NAMES[third(away)][third(right)];
}
