/** Turns towards an even target, and turns for register taken back. */
import { said, t } from "../../shared/language.js";
import { VERSION, believed, doubt, foretold, lastSpots, payload, placesOf, thousandth, turned, withReadings } from "./answers.js";
import { readingsOf } from "./history.js";
import { cautions } from "./mechanics/cautions.js";
import { whatIf as foresee } from "./mechanics/outcome.js";
import { planTension } from "./mechanics/tension_plan.js";
import { afterReadings } from "./mechanics/updating.js";
import { tensioning as numbers } from "./numbers.js";
import { Setup } from "./setup.js";
import { factorsOf } from "./wire.js";

/** @typedef {import("./setup.js").Request} Request */

/** @param {Request} request */
export function tensionPlan(request) {
  const setup = new Setup(request);
  const spots = lastSpots(setup, setup.isCoated ? "coated" : "bare");
  const { bare, state, plan } = planned(setup, spots);
  const found = plan.predicted;
  const answer = {
    status: plan.status,
    message: plan.message,
    bolts: turned(plan.turns48ths, setup.layout.names),
    predicted: found ? foretold(found.places, found.low, found.mean, found.high) : [],
    limits: plan.active,
    read_next: plan.readNext && { u: plan.readNext[0], v: plan.readNext[1] },
    rounds_left: Object.keys(plan.turns48ths).length ? plan.rounds : 0,
    nip_first: plan.nipFirst,
    loose: plan.loose,
    highest_n_per_cm: plan.highest === null ? null : thousandth(plan.highest),
    trusted: state.trusted,
    why: doubt(setup, bare),
    cautions: cautionsOf(setup),
  };
  const purpose = setup.purpose === "stretch" ? "stretch" : "retension";
  return { v: VERSION, ...answer, payload: payload(setup, purpose, plan.status, answer) };
}

/** The plan before it is told. @param {Setup} setup @param {any[]} spots */
export function planned(setup, spots) {
  const bare = withReadings(setup);
  const reason = setup.options.override;
  const state = setup.isCoated && reason ? overStencil(setup, bare, spots) : bare;
  return { bare, state, plan: planTension(state, setup.aim, setup.limits, readingsOf(spots), setup.isCoated && !reason) };
}

/** @param {Setup} setup @returns {string[]} */
export const cautionsOf = ({ isCoated, where }) => [...(isCoated ? [said(numbers.STENCIL_ON)] : []), ...cautions(where)];

/** The estimate for the emulsion's own readings: another level, and its own stiffness. @param {Setup} setup @param {import("./mechanics/state.js").State} state @param {any[]} spots */
function overStencil(setup, state, spots) {
  const { x, y } = factorsOf(setup).coated;
  const mean = state.mean.slice();
  const covariance = state.covariance.copy();
  [x, y].forEach((factor, axis) => {
    const level = axis * state.basis.size;
    covariance.row(level)[level] += numbers.STENCIL_SHIFT_SD ** 2;
    const at = state.factorAt + axis;
    mean[at] = factor.mean;
    for (let i = 0; i < mean.length; i++) covariance.row(i)[at] = covariance.row(at)[i] = 0;
    covariance.row(at)[at] = factor.sd ** 2;
  });
  return afterReadings(state.with({ mean, covariance }), readingsOf(spots)).with({ trusted: state.trusted });
}

/** @param {Request} request */
export function evenUp(request) {
  const setup = new Setup(request);
  const { layout, limits } = setup;
  const leftIn = Object.entries(setup.screen.register_turns).filter(([, turn]) => turn);
  const still = limits.whyStill(layout);
  const back = Object.fromEntries(leftIn.flatMap(([bolt, turn]) => (layout.places.has(bolt) && !still.has(bolt) ? [[bolt, -turn]] : [])));
  const state = believed(setup);
  const spots = lastSpots(setup);
  const places = placesOf(spots.length ? spots : [{ u: 0.5, v: 0.5 }]);
  const seen = foresee(state, back, places, limits);
  const any = Object.keys(back).length > 0;
  const held = [...still].filter(([bolt]) => leftIn.some(([name]) => name === bolt)).map(([bolt, why]) => `${bolt}: ${why}.`);
  const answer = {
    status: any ? "even_up" : "leave",
    message: sayEven(setup, any, leftIn.length > 0),
    bolts: turned(back, layout.names),
    predicted: any ? foretold(places, seen.low, seen.tension, seen.high) : [],
    limits: [...(spots.length ? seen.warnings : []), ...held],
    read_next: null,
    rounds_left: any ? 1 : 0,
    nip_first: [],
    loose: seen.loose,
    highest_n_per_cm: spots.length ? thousandth(seen.highest) : null,
    trusted: state.trusted,
    why: doubt(setup, state),
    cautions: cautionsOf(setup),
  };
  return { v: VERSION, ...answer, payload: payload(setup, "even_up", "even_up", answer) };
}

/** @param {Setup} setup @param {boolean} any @param {boolean} leftIn */
function sayEven({ isCoated }, any, leftIn) {
  if (!leftIn) return t`No turns for register are left in: nothing to even up.`;
  if (!any) return t`The bolts that were turned for register cannot be turned now.`;
  const then = t`Take these turns back clean and dry, before degreasing. Then check the tension.`;
  return isCoated ? `${t`Reclaim first, then even up.`} ${then}` : then;
}
