/** Turns are whole 48ths: a flat is 8, an eighth 6, a sixteenth 3. */
import { n, t } from "./language.js";

/** The step's name: "flats", "eighths", "sixteenths". @param {number} step 48ths */
export function stepName(step, count = 2) {
  if (step === 6) return n(count)`eighth|eighths`;
  return step === 3 ? n(count)`sixteenth|sixteenths` : n(count)`flat|flats`;
}

/** "+2", "−1", "0" with a true minus sign. @param {number} count */
export function signed(count) {
  if (count === 0) return "0";
  const text = String(Math.abs(count));
  return (count > 0 ? "+" : "−") + text;
}

/**
 * Bare signed number for a bolt on the drawing, in steps; turns made in another step show as 48ths.
 * @param {number} turn 48ths @param {number} step 48ths
 */
export function turnNumber(turn, step) {
  return turn % step === 0 ? signed(turn / step) : `${signed(turn)}/48`;
}

/** Sign apart, the fraction of a turn in lowest terms: "1 1/8". @param {number} turn 48ths */
function fraction(turn) {
  const whole = Math.floor(turn / 48);
  const rest = turn % 48;
  if (rest === 0) return String(whole);
  const common = [24, 16, 12, 8, 6, 4, 3, 2, 1].find((part) => rest % part === 0 && 48 % part === 0) ?? 1;
  const part = `${rest / common}/${48 / common}`;
  return whole ? `${whole} ${part}` : part;
}

/**
 * Turn in words: "+2 flats", "−1/8 turn", "+1 1/8 turns", "no turn".
 * @param {number} turn 48ths, + tightens @param {number} step 48ths, the step of this frame
 */
export function turnText(turn, step) {
  if (turn === 0) return t`no turn`;
  if (step === 8 && turn % 8 === 0) return `${signed(turn / 8)} ${stepName(8, turn / 8)}`;
  const size = Math.abs(turn);
  return `${turn > 0 ? "+" : "−"}${fraction(size)} ${n(size > 48 ? 2 : 1)`turn|turns`}`;
}

/** Sides that bolts sit on, in the order told. @param {string[]} bolts */
export const sidesOf = (bolts) => [...new Set(bolts.map((bolt) => bolt[0]))];

/** "A2–A5": neighbours run together, rising. @param {string[]} bolts of one side */
export function runs(bolts) {
  /** @type {number[][]} */ const found = [];
  for (const number of bolts.map((bolt) => Number(bolt.slice(1))).sort((one, two) => one - two)) {
    const last = found.at(-1);
    if (last && last[1] === number - 1) last[1] = number;
    else found.push([number, number]);
  }
  const side = bolts[0][0];
  return found.map(([from, to]) => (from === to ? side + from : to === from + 1 ? `${side}${from} ${side}${to}` : `${side}${from}–${side}${to}`)).join(" ");
}

/**
 * Bolts with the same turn told together: "A1 A2 B1–B4 +2 flats · C3 −1 flat".
 * @param {{bolt: string, turn_48ths: number}[]} bolts @param {number} step
 */
export function boltsText(bolts, step) {
  /** @type {Map<number, string[]>} */ const groups = new Map();
  for (const { bolt, turn_48ths } of bolts) {
    groups.set(turn_48ths, [...(groups.get(turn_48ths) ?? []), bolt]);
  }
  const told = (/** @type {string[]} */ names) => sidesOf(names).map((side) => runs(names.filter((name) => name[0] === side))).join(" ");
  return [...groups].map(([turn, names]) => `${told(names)} ${turnText(turn, step)}`).join(" · ");
}
