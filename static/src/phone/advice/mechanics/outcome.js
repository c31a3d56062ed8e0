/** What given turns would do, before anyone turns them. */
import { t } from "../../../shared/language.js";
import { apply } from "./algebra.js";
import { PER_TURN } from "./bolts.js";
import { neighbourRows, sayTurns } from "./limits.js";
import { SURE } from "./tension_program.js";
import { fixed, short } from "./text.js";
import { afterTurns, move } from "./turning.js";

/**
 * @param {import("./state.js").State} state @param {Record<string, number>} turns48ths
 * @param {import("./layout.js").Place[]} places @param {import("./limits.js").Limits} limits
 */
export function whatIf(state, turns48ths, places, limits) {
  const { layout } = state;
  const asked = layout.vector(turns48ths).map((t) => t / PER_TURN);
  const [turnable, broken] = [limits.turnable(layout), limits.isBroken(layout)];
  const warnings = warningsOf(state, asked, limits);
  const turns = asked.map((t, i) => (turnable[i] ? t : 0));
  const rest = move(state, turns, turnable, broken);
  const later = afterTurns(state, turns, turnable, broken);
  const shift = rest.barMm.map((x, i) => x - state.barMm[i]);
  const moved = (/** @type {import("./algebra.js").Matrix[]} */ influence) => influence.map((one) => apply(one, shift));
  const change = moved(state.influence(places));
  const tension = sum(state.tension(places), change);
  const half = later.tensionSd(places).map((one) => one.map((sd) => SURE * Math.hypot(sd, state.readingSd)));
  const grid = layout.grid(9);
  const doubt = later.tensionSd(grid).map((one) => one.map((sd) => SURE * sd));
  const highest = Math.max(...sum(sum(state.tension(grid), moved(state.influence(grid))), doubt).flatMap((one) => [...one]));
  if (limits.cap !== null && highest > limits.cap) {
    warnings.push(t`Up to ${fixed(highest, 1)} N/cm somewhere: the mesh's highest is ${short(limits.cap)}.`);
  }
  const low = sum(tension, half.map((one) => one.map((x) => -x)));
  return { tension, low, high: sum(tension, half), change, movedMm: moved(state.strip.displacement(places)), loose: rest.loose, highest, warnings };
}

/** @param {Float64Array[]} a @param {Float64Array[]} b */
const sum = (a, b) => a.map((one, axis) => one.map((x, i) => x + b[axis][i]));

/** @param {import("./state.js").State} state @param {Float64Array} turns @param {import("./limits.js").Limits} limits */
function warningsOf({ layout }, turns, limits) {
  const can = limits.turnable(layout);
  /** @type {[string, (t: number, i: number) => boolean][]} */
  const rules = [
    [t`More than ${sayTurns(limits.turns)} in a round`, (t) => t > limits.turns + 1e-9],
    [t`Loosened by over ${sayTurns(limits.loosenTurns)}`, (t) => t < -limits.loosenTurns - 1e-9],
    [t`Cannot be turned`, (t, i) => t !== 0 && !can[i]],
  ];
  const out = rules.flatMap(([text, breaks]) => {
    const bolts = layout.names.filter((_, i) => breaks(turns[i], i));
    return bolts.length ? [`${text}: ${bolts.join(", ")}.`] : [];
  });
  const { rows, pairs } = neighbourRows(layout, layout.names.map(() => true));
  const apart = apply(rows, turns);
  const close = pairs.filter((_, i) => Math.abs(apart[i]) > limits.neighbourTurns + 1e-9).map((pair) => pair.join("-"));
  if (close.length) out.push(t`Neighbours differ by more than ${sayTurns(limits.neighbourTurns)}: ${close.join(", ")}.`);
  return out;
}
