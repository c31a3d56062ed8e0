/** What moves colours apart, and what limits a target, as the library's `register_budget` and `which_target`. */
import { growthMm } from "./gap.js";

/** @typedef {{name: string, mm: number}} Term @typedef {{name: string, most: number}} Ceiling */

/** Bound if the bars moved. @param {number} change N/cm @param {number} stiffness N/cm @param {number} image mm */
export const byTension = (change, stiffness, image) => (change / stiffness) * image;

/** @param {number} span @param {number} image @param {number} first @param {number} other */
export const byGap = (span, image, first, other) => growthMm(span, other, image) - growthMm(span, first, image);

/** @param {Term[]} terms */
export function budget(terms) {
  const ranked = [...terms].sort((one, two) => Math.abs(two.mm) - Math.abs(one.mm));
  return {
    ranked,
    sum: ranked.reduce((sum, term) => sum + Math.abs(term.mm), 0),
    likely: Math.hypot(...ranked.map((term) => term.mm)),
  };
}

/** @param {number} growth @param {number} image */
export const filmScale = (growth, image) => 1 / (1 + growth / image);

/** Tension at which the most loaded bolt of a side bears three quarters of its proof load. @param {number[]} places @param {number} length @param {number} areaMm2 @param {number} proofMpa */
export function tensionAtBolts(places, length, areaMm2, proofMpa) {
  const at = [...places].sort((one, two) => one - two);
  const borders = [0, ...at.slice(1).map((place, i) => (place + at[i]) / 2), length];
  const widest = Math.max(...borders.slice(1).map((place, i) => place - borders[i]));
  return (10 * 0.75 * proofMpa * areaMm2) / widest;
}

/** Tensile stress area of a thread, mm². @param {number} diameter @param {number} pitch @param {boolean} inch */
export const stressAreaMm2 = (diameter, pitch, inch = false) => (Math.PI / 4) * (diameter - (inch ? 0.9743 : 0.9382) * pitch) ** 2;

/** @param {Ceiling[]} ceilings lowest first */
export const ranked = (ceilings) => [...ceilings].sort((one, two) => one.most - two.most);
