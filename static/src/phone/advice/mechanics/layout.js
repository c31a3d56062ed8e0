/** The frame as the mechanics sees it: inside size, bolts on each side, bars. */
import { t } from "../../../shared/language.js";
import { layout as numbers } from "../numbers.js";
import { linspace } from "./algebra.js";
import { InputFault, number } from "./faults.js";

/**
 * @typedef {[number, number]} Place  fractions of the inside: along side A, away from it
 * @typedef {"A" | "B" | "C" | "D"} Side
 */

/** @type {Side[]} */
export const SIDES = ["A", "B", "C", "D"];
/** Sign of an outward bar movement along its axis, and that axis (0 = x, 1 = y). @type {Record<Side, [number, 0 | 1]>} */
export const OUTWARD = { A: [-1, 1], B: [1, 0], C: [1, 1], D: [-1, 0] };
/** @type {Record<Side, Side>} */
export const OPPOSITE = { A: "C", C: "A", B: "D", D: "B" };

export class Layout {
  /**
   * @param {number} insideA mm @param {number} insideB mm
   * @param {Partial<Record<Side, number[]>>} bolts  mm from each side's first corner, rising
   * @param {number} eiNCm2 bending stiffness of the bar
   */
  constructor(insideA, insideB, bolts, eiNCm2) {
    const what = t`Enter the inside length of the frame in mm`;
    this.insideA = number("inside_a_mm", insideA, 150, 6000, what);
    this.insideB = number("inside_b_mm", insideB, 150, 6000, what);
    this.eiNMm2 = 100 * number("ei_n_cm2", eiNCm2, 1e4, 1e10, t`Enter the bar's bending stiffness in N cm2`);
    this.bolts = /** @type {Record<Side, number[]>} */ ({});
    for (const side of SIDES) this.bolts[side] = this.#checked(side, bolts[side] ?? []);
    this.names = SIDES.flatMap((side) => this.bolts[side].map((_, i) => `${side}${i + 1}`));
    this.count = this.names.length;
    if (!this.count) throw new InputFault("bolts", "empty", t`Enter at least one bolt.`);
    /** @type {Map<number, Place[]>} */
    this.grids = new Map();
    this.places = new Map(this.names.map((name, i) => [name, i]));
    this.ends = new Set(SIDES.flatMap((side) => [`${side}1`, `${side}${this.bolts[side].length}`]));
  }

  /** @param {Side} side @param {number[]} given */
  #checked(side, given) {
    let last = -1;
    return given.map((value, i) => {
      const name = `bolts.${side}${i + 1}`;
      const place = number(name, value, 0, this.length(side), t`Enter mm from the side's first corner`);
      if (place <= last) throw new InputFault(name, value, t`List the bolts from the first corner onward, none twice.`);
      return (last = place);
    });
  }

  /** Inside length of a side, mm. @param {Side} side */
  length(side) {
    return OUTWARD[side][1] ? this.insideA : this.insideB;
  }

  /** Distance between a side and the opposite one, mm. @param {Side} side */
  span(side) {
    return OUTWARD[side][1] ? this.insideB : this.insideA;
  }

  /** Bolt places of a side along x (A, C) or y (B, D), mm, in the order of their numbers. @param {Side} side */
  along(side) {
    return side === "A" || side === "B" ? this.bolts[side] : this.bolts[side].map((at) => this.length(side) - at);
  }

  /** Indices of a side's bolts in `names`. @param {Side} side */
  columns(side) {
    const first = this.names.findIndex((name) => name[0] === side);
    return this.bolts[side].map((_, i) => first + i);
  }

  /** @param {string} name */
  index(name) {
    const at = this.places.get(name);
    if (at !== undefined) return at;
    const sides = SIDES.filter((side) => this.bolts[side].length);
    const told = sides.map((side) => t`${side}1 to ${side}${this.bolts[side].length}`);
    throw new InputFault("bolt", name, t`This frame has ${told.join(", ")}.`);
  }

  /** Values by bolt name, zero where nothing is said. @param {Record<string, number>} byName */
  vector(byName) {
    const out = new Float64Array(this.count);
    for (const [name, value] of Object.entries(byName)) out[this.index(name)] = value;
    return out;
  }

  /** n x n places away from the locks, the same list each time. @param {number} n @returns {Place[]} */
  grid(n) {
    const made = this.grids.get(n) ?? this.#grid(n);
    this.grids.set(n, made);
    return made;
  }

  /** @param {number} n @returns {Place[]} */
  #grid(n) {
    const [us, vs] = [this.insideA, this.insideB].map((size) => {
      const edge = Math.min(numbers.EDGE_CLEARANCE_MM / size, 0.25);
      return linspace(edge, 1 - edge, n);
    });
    return vs.flatMap((v) => us.map((u) => /** @type {Place} */ ([u, v])));
  }
}

/** @param {Place[]} places */
export function checkedPlaces(places) {
  const wrong = places.find((place) => !place.every((x) => x >= 0 && x <= 1));
  if (wrong) throw new InputFault("places", wrong, t`u and v are fractions from 0 to 1.`);
  return places;
}
