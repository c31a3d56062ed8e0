/** Corners of a new mesh, eased by the end bolts before it is brought up to target. */
import { VERSION, lastSpots, thousandth, turned, withReadings } from "./answers.js";
import { cautions } from "./mechanics/cautions.js";
import { easeCorners } from "./mechanics/corners.js";
import { Setup } from "./setup.js";

/** @param {import("./setup.js").Request} request */
export function cornerPlan(request) {
  const setup = new Setup(request);
  const state = withReadings(setup);
  const { turns48ths, status, message, tight } = easeCorners(state, setup.aim, setup.limits);
  return {
    v: VERSION,
    status,
    message,
    bolts: turned(turns48ths, setup.layout.names),
    tight: tight.map(({ corner, axis, above }) => ({ corner, way: axis ? "across_a" : "along_a", above_n_per_cm: thousandth(above) })),
    read: lastSpots(setup).length > 0,
    trusted: state.trusted,
    cautions: cautions(setup.where),
  };
}
