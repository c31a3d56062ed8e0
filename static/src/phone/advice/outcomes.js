/** What given turns would do, over the whole mesh, before anyone turns them. */
import { t } from "../../shared/language.js";
import { VERSION, arrows, foretold, lastSpots, placesOf, thousandth, withReadings } from "./answers.js";
import { inTurns } from "./history.js";
import { linspace } from "./mechanics/algebra.js";
import { PER_TURN } from "./mechanics/bolts.js";
import { InputFault } from "./mechanics/faults.js";
import { whatIf as foresee } from "./mechanics/outcome.js";
import { outcomes as numbers } from "./numbers.js";
import { Setup } from "./setup.js";
import { cautionsOf } from "./tensioning.js";

/** @typedef {import("./mechanics/layout.js").Place} Place */

const MIDDLES = Array.from({ length: numbers.CELLS }, (_, i) => (i + 0.5) / numbers.CELLS);
const SPREAD = linspace(0.1, 0.9, numbers.GRID);

/** Row by row from side A. @param {number[]} along @returns {Place[]} */
const square = (along) => along.flatMap((v) => along.map((u) => /** @type {Place} */ ([u, v])));

/** 5 x 5 places of the image. */
export const IMAGE = square(SPREAD);

/** By the strip model alone: the membrane is worked out on a server. @param {import("./setup.js").Request} request */
export function whatIf(request) {
  const setup = new Setup(request);
  if ((request.model || "strip") !== "strip") throw new InputFault("model", request.model, t`Choose one of: ${"strip"}.`);
  const asked = inTurns(setup, request.turns ?? []);
  const turns = Object.fromEntries(Object.entries(asked).map(([bolt, turn]) => [bolt, Math.round(turn * PER_TURN)]));
  const state = withReadings(setup);
  const places = placesOf(lastSpots(setup));
  const cells = square(MIDDLES);
  const seen = foresee(state, turns, [...places, ...cells, ...IMAGE], setup.limits);
  const from = (/** @type {Float64Array[]} */ both, /** @type {number} */ start) => both.map((one) => one.subarray(start));
  const n = places.length;
  return {
    v: VERSION,
    predicted: foretold(places, seen.low, seen.tension, seen.high),
    map: mapOf(from(seen.tension, n), from(seen.change, n)),
    moved: arrows(IMAGE, from(seen.movedMm, n + cells.length)),
    loose: seen.loose,
    highest_n_per_cm: thousandth(seen.highest),
    warnings: seen.warnings,
    trusted: state.trusted,
    cautions: cautionsOf(setup),
  };
}

/** @param {Float64Array[]} tension @param {Float64Array[]} change */
function mapOf(tension, change) {
  const rows = (/** @type {Float64Array} */ values) => MIDDLES.map((_, i) => [...values.subarray(i * numbers.CELLS, (i + 1) * numbers.CELLS)].map(thousandth));
  return {
    u: MIDDLES.map(thousandth),
    v: MIDDLES.map(thousandth),
    along_a: rows(tension[0]),
    across_a: rows(tension[1]),
    change_along_a: rows(change[0]),
    change_across_a: rows(change[1]),
  };
}
