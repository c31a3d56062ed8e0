/** The usual loss of a mesh that nobody has read twice, as `frames/mechanics/relaxation.py` has it. Pure. */
const SLOPE = 0.35; // N/cm per unit of ln t at 20 N/cm: 20 to 18 in a night
const T0_H = 1 / 30;
const PER_N_PER_CM = 20;

/** N/cm lost in the next hours. @param {number} hours since the last turn @param {number} more @param {number} target N/cm */
export const usualLoss = (hours, more, target) => ((SLOPE * target) / PER_N_PER_CM) * Math.log((1 + (hours + more) / T0_H) / (1 + hours / T0_H));
