/**
 * Colour of a reading by how far it misses its target. Steps of one tolerance from ColorBrewer's
 * diverging, colour-blind-safe PuOr; only those on which black text keeps a contrast of 7:1.
 */
const BELOW = ["#fee0b6", "#fdb863", "#e08214"];
const ABOVE = ["#d8daeb", "#b2abd2", "#998ec3"];
export const IN_TOLERANCE = "#ffffff";

/** Rounding of binary fractions must not push a reading on the limit over it. */
const HAIR = 1e-9;

/**
 * @param {number} reading N/cm @param {number | null} target N/cm @param {number | null} tolerance N/cm
 * @returns {string} a colour
 */
export function missColour(reading, target, tolerance) {
  if (target === null || target === undefined || !tolerance) return IN_TOLERANCE;
  const beyond = (Math.abs(reading - target) - HAIR) / tolerance;
  if (beyond <= 1) return IN_TOLERANCE;
  const step = Math.min(BELOW.length - 1, Math.ceil(beyond) - 2);
  return (reading < target ? BELOW : ABOVE)[step];
}
