/** Measured stand-out of the bars at their bolts: where the bars are, whatever the log says. */
import { t } from "../../../shared/language.js";
import { stand_out as numbers } from "../numbers.js";
import { Matrix, apply, pick, plus, solveFor, taken, where } from "./algebra.js";
import { InputFault, number } from "./faults.js";
import { SIDES } from "./layout.js";
import { projected } from "./turning.js";

/**
 * Bar positions from measured stand-outs; the count is trusted again and the tension estimate stays.
 *
 * @param {import("./state.js").State} state
 * @param {Record<string, number>} standOut by bolt, mm; at least two on a side @param {number} zero at lock-in
 */
export function reset(state, standOut, zero) {
  const { layout } = state;
  const bar = state.barMm.slice();
  const known = layout.names.map(() => false);
  for (const [name, value] of Object.entries(standOut)) {
    const i = layout.index(name);
    bar[i] = number(`stand_out_mm.${name}`, value, -50, 100, t`Enter mm the bar stands out`) - zero;
    known[i] = true;
  }
  const sides = SIDES.filter((side) => layout.columns(side).some((i) => known[i]));
  for (const side of sides) {
    const at = layout.columns(side);
    if (at.filter((i) => known[i]).length < Math.min(2, at.length)) {
      throw new InputFault("stand_out_mm", side, t`Measure at least two bolts of this side.`);
    }
    through(state, at, bar, known);
  }
  if (!sides.length) throw new InputFault("stand_out_mm", "none", t`Measure at least two bolts of one side.`);
  return carryOver(state, bar, known);
}

/** Bar of one side through its measured bolts, with the least bending. @param {import("./state.js").State} state @param {number[]} at @param {Float64Array} bar @param {boolean[]} known */
function through(state, at, bar, known) {
  const k = pick(state.strip.bending, at, at);
  const trace = at.reduce((sum, _, i) => sum + k.at(i, i), 0);
  at.forEach((_, i) => (k.row(i)[i] += 1e-9 * trace + 1e-9));
  const free = where(at.map((i) => !known[i]));
  const fixed = where(at.map((i) => known[i]));
  if (!free.length) return;
  const pushed = apply(pick(k, free, fixed), taken(bar, fixed.map((i) => at[i])));
  const found = solveFor(pick(k, free, free), pushed);
  free.forEach((i, m) => (bar[at[i]] = -found[m]));
}

/** @param {import("./state.js").State} state @param {Float64Array} bar @param {boolean[]} known */
function carryOver(state, bar, known) {
  const { basis } = state;
  const grid = state.layout.grid(7);
  const mean = state.mean.slice();
  state.influence(grid).forEach((one, axis) => {
    const gap = apply(one, state.barMm.map((x, i) => x - bar[i]));
    const part = basis.project(grid, new Matrix(gap.length, 1, gap), axis);
    part.data.forEach((x, i) => (mean[axis * basis.size + i] += x));
  });
  const variance = Float64Array.from(known, (one) => ((one ? 1 : 2) * numbers.MEASURED_MM) ** 2);
  const covariance = plus(state.covariance, projected(state, grid, variance));
  return state.with({ mean, covariance, barMm: bar, drawMm: bar.slice(), trusted: true });
}
