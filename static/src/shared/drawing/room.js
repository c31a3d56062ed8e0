/** Room for numbers in the bolts of a drawing. Pure. */
import { turnNumber } from "../turns.js";

/** @typedef {import("./layout.js").Bolt} LaidBolt @typedef {import("./layout.js").Layout} Layout */

/** A number fits into a bolt drawn at least this large, one of two digits into the second. */
export const ROOMY = 8;
export const WIDE = 9;
/** Width of a letter of a turn in a small bolt, and of one set smaller. */
export const [LETTER, LESS] = [9, 6.6];
/** Letters can be set this much narrower and still be read. */
const NARROWED = 0.8;
/** The bolt that is meant is never lost between its neighbours. */
export const MEANT = 9;

/** Drawn for a finger, not folded into a strip. @param {Layout} layout @param {LaidBolt} bolt */
export const large = (layout, bolt) => layout.touch && !layout.sides.some((mark) => mark.folded && mark.side === bolt.side);

/** Width for letters in a bolt. @param {number} r */
export const roomFor = (r) => 2 * r + 1;

/** Bolts are drawn as large as their neighbours leave room for. @param {LaidBolt} bolt @param {Layout} layout @param {number} turn @param {boolean} small @param {boolean} next */
export function radius(bolt, layout, turn, small, next) {
  if (!small) return 19;
  const gaps = layout.bolts
    .filter((other) => other.side === bolt.side && Math.abs(other.number - bolt.number) === 1)
    .map((other) => Math.hypot(other.x - bolt.x, other.y - bolt.y));
  const roomy = (layout.outer.h - layout.inner.h) / 4 - 3;
  return Math.max(next ? MEANT : 2, Math.min(turn ? 13 : 9, roomy, ...gaps.map((gap) => gap / 2 - 0.5)));
}

/**
 * Whether every turn can be told in its small bolt. A bolt left blank beside numbered ones would
 * look like one that does not turn, so where one has no room none is told.
 * @param {Layout} layout @param {Record<string, number>} turns 48ths @param {number} step 48ths
 */
export function numbersFit(layout, turns, step) {
  return layout.bolts.filter((bolt) => turns[bolt.name] && !large(layout, bolt)).every((bolt) => {
    const r = radius(bolt, layout, turns[bolt.name], true, false);
    return r >= ROOMY && turnNumber(turns[bolt.name], step).length * LESS * NARROWED <= roomFor(r);
  });
}
