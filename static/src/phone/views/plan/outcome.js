/**
 * What came of a plan: each reading foretold beside the one that was read. Pure.
 * @typedef {{u: number, v: number, direction: import("../../../shared/types.js").Direction, band: any, read: number, met: boolean}} Row
 */

const SAME = 0.02;

/**
 * The last check against the plan that it followed, if it followed one.
 * @param {any[]} entries  of the card, newest first
 * @param {string} screen
 * @returns {{plan: any, check: any, rows: Row[]} | null}
 */
export function outcomeOf(entries, screen) {
  const own = entries.filter((entry) => entry.screen === screen && !entry.voided);
  const checked = own.findIndex((entry) => entry.kind === "tension_check");
  const older = checked < 0 ? [] : own.slice(checked + 1);
  const before = older.findIndex((entry) => entry.kind === "tension_check");
  const between = before < 0 ? older : older.slice(0, before);
  const plan = between.find((entry) => entry.kind === "turn_plan");
  if (!plan || !plan.payload.predicted?.length) return null;
  const rows = rowsOf(plan.payload.predicted, own[checked].payload.spots);
  return rows.length > 0 ? { plan, check: own[checked], rows } : null;
}

/** @param {any[]} predicted @param {any[]} spots @returns {Row[]} */
function rowsOf(predicted, spots) {
  return predicted.flatMap((one) => {
    const spot = spots.find((read) => Math.hypot(read.u - one.u, read.v - one.v) < SAME);
    if (!spot) return [];
    return /** @type {const} */ (["along_a", "across_a"]).flatMap((direction) => {
      const band = one[direction];
      const read = spot[`${direction}_n_per_cm`];
      if (!band || read === null || read === undefined) return [];
      return [{ u: one.u, v: one.v, direction, band, read, met: read >= band.low && read <= band.high }];
    });
  });
}
