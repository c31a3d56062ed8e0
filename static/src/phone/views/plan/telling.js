/** Plans in words and short numbers. Pure. */
import { seenPoint } from "../../../shared/drawing/lie.js";
import { spotName } from "../../../shared/drawing/spots.js";
import { n, t } from "../../../shared/language.js";
import { runs, sidesOf, stepName, turnText } from "../../../shared/turns.js";
import { tensionText } from "../../../shared/units.js";

const MM_PER_INCH = 25.4;
const TURN = 48;

/** @param {number} value @returns {number} */
const toHalf = (value) => Math.round(value * 2) / 2;

/** "21½ ± 1": a reading foretold and how far it may be off. @param {{value: number, low: number, high: number}} band */
export function bandText({ value, low, high }) {
  const off = Math.max(0.5, Math.ceil(high - low - 1e-9) / 2);
  return `${tensionText(toHalf(value))} ± ${off === 0.5 ? "½" : tensionText(off)}`;
}

/** "1 turn + 3 flats": a long turn as it is counted at the bolt; empty for a short one. @param {number} turn 48ths @param {number} step 48ths */
export function countedText(turn, step) {
  const size = Math.abs(turn);
  const [whole, rest] = [Math.floor(size / TURN), (size % TURN) / step];
  if (whole === 0 || !Number.isInteger(rest)) return "";
  const turns = n(whole)`# turn|# turns`;
  return rest === 0 ? turns : `${turns} + ${rest} ${stepName(step, rest)}`;
}

/** "At most 2 turns: A6–A9, C4 C5.": long lists of bolts in a sentence drawn together. @param {string} text */
export const drawnTogether = (text) =>
  text.replace(/\b[ABCD]\d+(?:, [ABCD]\d+)+/g, (list) => {
    const bolts = list.split(", ");
    return sidesOf(bolts).map((side) => runs(bolts.filter((bolt) => bolt[0] === side))).join(", ");
  });

/**
 * Turns side by side, bolts that turn alike told together.
 * @param {{bolt: string, turn_48ths: number}[]} bolts @param {number} step
 * @returns {{side: string, turns: {bolts: string, text: string}[]}[]}
 */
export function bySide(bolts, step) {
  return sidesOf(bolts.map((one) => one.bolt)).map((side) => {
    const own = bolts.filter((one) => one.bolt[0] === side);
    const sizes = [...new Set(own.map((one) => one.turn_48ths))];
    const turns = sizes.map((size) => ({ bolts: runs(own.filter((one) => one.turn_48ths === size).map((one) => one.bolt)), text: turnText(size, step) }));
    return { side, turns };
  });
}

/**
 * Sides that turn alike told once, their bolts by number: "A, C" with "1, 16" "+29 flats" in it.
 * @param {ReturnType<typeof bySide>} sides
 * @returns {{letters: string, lines: {bolts: string, text: string}[]}[]}
 */
export function alikeSides(sides) {
  /** @type {Map<string, {letters: string, lines: {bolts: string, text: string}[]}>} */ const found = new Map();
  for (const { side, turns } of sides) {
    const lines = turns.map(({ bolts, text }) => ({ bolts: bolts.replaceAll(side, "").replaceAll(" ", ", "), text }));
    const before = found.get(JSON.stringify(lines));
    found.set(JSON.stringify(lines), { letters: before ? `${before.letters}, ${side}` : side, lines });
  }
  return [...found.values()];
}

/**
 * A place on the mesh for a reader before it: "far left, 10 cm in from the nearest side".
 * @param {any} frame @param {import("../../../shared/types.js").View} view @param {{u: number, v: number}} at @param {string} unit of length
 */
export function placeName(frame, view, { u, v }, unit) {
  const mm = Math.min(u * frame.inside_a_mm, (1 - u) * frame.inside_a_mm, v * frame.inside_b_mm, (1 - v) * frame.inside_b_mm);
  const far = unit === "in" ? t`${Math.round(mm / MM_PER_INCH)} in` : `${Math.round(mm / 10)} cm`;
  return t`${spotName(...seenPoint(view, u, v))}, ${far} from the side`;
}

/** Foretold readings as spots of the drawing. @param {any[]} predicted */
export const foretoldSpots = (predicted) =>
  predicted.map(({ u, v, along_a, across_a }) => ({ u, v, along_a_n_per_cm: along_a ? toHalf(along_a.value) : null, across_a_n_per_cm: across_a ? toHalf(across_a.value) : null }));

const COUNTED = /** @type {Record<number, string>} */ ({
  8: t`On the bolts: flats (sixths of a turn), + tightens.`,
  6: t`On the bolts: eighths of a turn, + tightens.`,
  3: t`On the bolts: sixteenths of a turn, + tightens.`,
});

/**
 * What the figures on a plan's drawing are: a bare number is steps of the head, not turns.
 * @param {Record<string, number>} turns 48ths @param {number} step 48ths @param {boolean} numbered each turn stands in its bolt @param {boolean} spots what the mesh should read is drawn too
 */
export function drawnText(turns, step, numbered, spots) {
  if (Object.keys(turns).length === 0) return "";
  const bolts = numbered ? COUNTED[step] : t`Filled bolts turn: how far stands below.`;
  return spots ? `${bolts} ${t`On the mesh: what it should read then.`}` : bolts;
}

/** Lowest and highest reading foretold. @param {any[]} predicted */
export function foretoldRange(predicted) {
  const bands = predicted.flatMap(({ along_a, across_a }) => [along_a, across_a]).filter(Boolean);
  if (bands.length === 0) return "";
  const values = bands.map((band) => toHalf(band.value));
  const [low, high] = [Math.min(...values), Math.max(...values)].map(tensionText);
  return low === high ? `${low} N/cm` : t`${low} to ${high} N/cm`;
}

/** Spots to read after a round: those foretold, and the one between them that is least certain. @param {{predicted: any[], read_next: {u: number, v: number} | null}} answer */
export function spotsAfter({ predicted, read_next }) {
  const spots = predicted.map((one) => ({ u: one.u, v: one.v }));
  if (!read_next) return spots;
  const near = (/** @type {any} */ one) => Math.hypot(one.u - read_next.u, one.v - read_next.v) < 0.08;
  return !spots.some(near) ? [...spots, { u: read_next.u, v: read_next.v }] : spots;
}
