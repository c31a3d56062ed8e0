/** Mesh sums, as `frames/mechanics/cloth.py` and `weave.py` have them: µm, per cm, N/cm, MPa. */

/** Cross-section of the threads in a cm of mesh, cm². @param {number} perCm @param {number} threadUm */
const threadArea = (perCm, threadUm) => (perCm * Math.PI * (threadUm * 1e-4) ** 2) / 4;

/** @param {number} perCm @param {number} threadUm @returns {number} negative where the threads would overlap */
export const openingUm = (perCm, threadUm) => 10000 / perCm - threadUm;

/** @param {number} opening @param {number} threadUm @returns {number} percent */
export const openAreaPct = (opening, threadUm) => 100 * (opening / (opening + threadUm)) ** 2;

/** @param {number} thicknessUm @param {number} openPct @returns {number} cm³/m² */
export const inkVolume = (thicknessUm, openPct) => (thicknessUm * openPct) / 100;

/** @param {number} thicknessUm @param {number} openPct @param {number} buildUpUm @returns {number} µm */
export const wetFilmUm = (thicknessUm, openPct, buildUpUm) => inkVolume(thicknessUm, openPct) + buildUpUm;

/** @param {number} tension @param {number} perCm @param {number} threadUm @returns {number} MPa */
export const threadStress = (tension, perCm, threadUm) => tension / threadArea(perCm, threadUm) / 100;

/** @param {number} stressMpa @param {number} perCm @param {number} threadUm @returns {number} N/cm */
export const tensionAtStress = (stressMpa, perCm, threadUm) => stressMpa * threadArea(perCm, threadUm) * 100;

/** A mesh under an elongation, a fraction. @param {number} perCm @param {number} opening @param {number} strain */
export function stretched(perCm, opening, strain) {
  const wider = opening * (1 + strain);
  const pitch = (10000 * (1 + strain)) / perCm;
  return { perCm: perCm / (1 + strain), opening: wider, openPct: openAreaPct(wider, pitch - wider) };
}
