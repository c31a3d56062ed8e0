/** A frame's side under the mesh's load, as `frames/mechanics/frame_side.py` has it: mm, MPa, N/cm. */

/** @typedef {{across: number, upright: number, from: number}} Plate  sizes, and its near face from the back of the web */

export const ALUMINIUM_MPA = 69000;
export const GROWTH_PER_K = { aluminium: 24e-6, steel: 12e-6 };

/** Area, centroid and inertia of plates by the parallel-axis theorem. @param {Plate[]} plates */
export function section(plates) {
  const areas = plates.map((p) => p.across * p.upright);
  const middles = plates.map((p) => p.from + p.across / 2);
  const area = areas.reduce((sum, one) => sum + one, 0);
  const centroid = areas.reduce((sum, one, i) => sum + one * middles[i], 0) / area;
  const inertia = plates.reduce((sum, p, i) => sum + (p.upright * p.across ** 3) / 12 + areas[i] * (middles[i] - centroid) ** 2, 0);
  const reach = Math.max(...plates.flatMap((p) => [Math.abs(p.from - centroid), Math.abs(p.from + p.across - centroid)]));
  return { area, centroid, inertia, reach };
}

const plate = (/** @type {number} */ across, /** @type {number} */ upright, from = 0) => ({ across, upright, from });

/** @param {number} flange @param {number} web @param {number} wall @returns {Plate[]} */
export const plainU = (flange, web, wall) => [plate(wall, web), plate(flange - wall, wall, wall), plate(flange - wall, wall, wall)];

/** @param {number} flange @param {number} web @param {number} wall @param {number} ribs @param {number} rib @returns {Plate[]} */
export const ribbedU = (flange, web, wall, ribs, rib) => [...plainU(flange, web, wall), ...Array.from({ length: ribs }, () => plate(rib, wall, -rib))];

/** @param {number} flange @param {number} web @param {number} wall @param {number} box @param {number} over @returns {Plate[]} */
export const boxedU = (flange, web, wall, box, over) => [
  ...plainU(flange, web, wall),
  plate(wall, over - wall),
  plate(wall, over - wall, box - wall),
  plate(box, wall),
];

/** @param {{inertia: number, reach: number}} made @param {number} length @param {number} tension */
export function sideLoad(made, length, tension) {
  const perMm = tension / 10;
  const builtIn = (perMm * length ** 4) / 384 / ALUMINIUM_MPA / made.inertia;
  return { load: perMm * length, builtIn, pinned: 5 * builtIn, stress: ((perMm * length ** 2) / 8) * (made.reach / made.inertia) };
}

/** Tension at which the side bows by `bow` with pinned corners, N/cm. @param {{inertia: number}} made @param {number} length @param {number} bow */
export const tensionAtBow = (made, length, bow) => (10 * 384 * ALUMINIUM_MPA * made.inertia * bow) / 5 / length ** 4;

/** Turns of the bolts before the mesh goes in. @param {number[]} places @param {number} length @param {number} bow @param {number} pitch */
export const preBowTurns = (places, length, bow, pitch) => places.map((at) => (bow * ((2 * at) / length - 1) ** 2) / pitch);

/** @param {number} inside @param {number} outward @param {number} lock @param {number} overhang */
export const pieceMm = (inside, outward, lock, overhang) => inside + 2 * (outward + lock + overhang);
