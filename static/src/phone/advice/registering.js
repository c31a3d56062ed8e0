/** What to do about marks that printed off: leave it, the press, the bolts, or none of these. */
import { VERSION, arrows, foretold, lastSpots, payload, placesOf, thousandth, turned, withReadings } from "./answers.js";
import { said } from "../../shared/language.js";
import { NAMES, WORDS } from "./mechanics/decomposition.js";
import { mark } from "./mechanics/marks.js";
import { whatIf as foresee } from "./mechanics/outcome.js";
import { answer as decide } from "./mechanics/register.js";
import { planRegister } from "./mechanics/register_plan.js";
import { registerAim } from "./mechanics/register_program.js";
import { rounded } from "./mechanics/text.js";
import { centredMm } from "./mechanics/views.js";
import { registering as numbers, setup as fixed } from "./numbers.js";
import { IMAGE } from "./outcomes.js";
import { Setup } from "./setup.js";
import { cautionsOf } from "./tensioning.js";
import { factorsOf } from "./wire.js";

/**
 * @typedef {import("./mechanics/layout.js").Place} Place
 * @typedef {import("./mechanics/register.js").RegisterAnswer} Found
 * @typedef {import("./mechanics/register_plan.js").RegisterPlan} Plan
 * @typedef {import("./mechanics/state.js").State} State
 */

/** @param {any[]} rows */
const marksOf = (rows) => rows.map(({ u, v, dx_mm, dy_mm }) => mark(u, v, dx_mm, dy_mm));

/** @param {import("./setup.js").Request} request */
export function registerPlan(request) {
  const setup = new Setup(request);
  const state = withReadings(setup);
  const aim = aimOf(setup);
  const found = decide({
    state,
    pulls: (request.pulls ?? []).map(marksOf),
    aim,
    limits: setup.limits,
    adjusters: setup.adjusters,
    view: setup.view,
    keyMarks: marksOf(request.key_marks ?? []),
    eye: request.eye || "loupe",
  });
  return { v: VERSION, ...tell(setup, state, found, chosen(setup, state, found, aim), aim.factor) };
}

/** The job's tolerance, the screen's band, and what a stencil allows. @param {Setup} setup */
function aimOf(setup) {
  const { request, isCoated } = setup;
  const { target, tolerance } = setup.aim;
  const [least, most] = numbers.FACTOR_RANGE;
  const factor = factorsOf(setup)[isCoated ? "coated" : "bare"].register.mean;
  return registerAim({
    tolerance_mm: request.tolerance_mm || numbers.DEFAULT_TOLERANCE_MM,
    band: [target - tolerance, target + tolerance],
    move_mm: isCoated ? Math.max(request.shop?.stencil_move_limit_mm ?? 0.5, numbers.LEAST_MOVE_MM) : fixed.WITHOUT_STENCIL_MM,
    factor: Math.min(Math.max(factor, least), most),
  });
}

/** The plan that goes with the answer, or the point of its curve that was asked for. @param {Setup} setup @param {State} state @param {Found} found @param {import("./mechanics/register_program.js").RegisterAim} aim */
function chosen({ request, limits }, state, found, aim) {
  if (found.kind !== "bolts" || !request.bolts_wanted) return found.plan;
  return planRegister(state, found.adjustment?.rest ?? found.marks, aim, limits, request.bolts_wanted);
}

/** @param {Setup} setup @param {State} state @param {Found} found @param {Plan | null} plan @param {number} factor */
function tell(setup, state, found, plan, factor) {
  const { significance, decomposition, sheet, marks } = found;
  const kind = numbers.KINDS[found.kind];
  const turns = plan && kind === "bolts" ? plan.turns48ths : {};
  const effect = effectOf(setup, state, kind === "leave_alone" ? null : found.adjustment, turns, factor);
  const at = placesOf(marks);
  const moves = effect.moved(at);
  const measured = [marks.map((one) => one.dx), marks.map((one) => one.dy)];
  const answer = {
    answer: kind,
    message: messageOf(setup, found, plan),
    verdict: { word: significance.verdict, rms_mm: thousandth(significance.rms), chance: rounded(significance.chance, 6) },
    parts: partsOf(decomposition),
    sheet: sheet && partsOf(sheet),
    marks: arrows(at, measured),
    arrows: arrows(at, moves),
    image: arrows(IMAGE, effect.moved(IMAGE)),
    after: arrows(at, measured.map((one, axis) => one.map((x, i) => x + moves[axis][i]))),
    press: found.adjustment && pressOf(setup, found.adjustment),
    bolts: turned(turns, setup.layout.names),
    predicted: effect.predicted(placesOf(lastSpots(setup))),
    loose: effect.loose,
    trusted: state.trusted,
    cost_n_per_cm: found.cost === null ? null : thousandth(found.cost),
    cautions: cautionsOf(setup),
    ...ofPlan(plan),
  };
  return { ...answer, payload: payload(setup, "register", kind, answer) };
}

/** @param {Setup} setup @param {Found} found @param {Plan | null} plan */
function messageOf({ hidden }, found, plan) {
  const message = plan && plan !== found.plan ? plan.message : found.message;
  return found.kind === "cannot" && hidden.length ? `${message} ${said(numbers.OUT)}` : message;
}

/** @param {Plan | null} plan */
function ofPlan(plan) {
  if (!plan) return { curve: [], before_mm: null, after_mm: null, tension_change: null, limits: [] };
  const [low, high] = plan.tensionChange.map(thousandth);
  return {
    curve: plan.curve.map(({ bolts, marksMm, imageMm }) => ({ bolts, marks_mm: thousandth(marksMm), image_mm: thousandth(imageMm) })),
    before_mm: thousandth(plan.beforeMm),
    after_mm: thousandth(plan.afterMm),
    tension_change: { low, high },
    limits: plan.active,
  };
}

/** Shift, twist, long or short, out of square; `known` where the marks can tell. @param {import("./mechanics/decomposition.js").Decomposition} found */
const partsOf = ({ values, sd, cannotTell }) =>
  NAMES.map((name, i) => ({
    name,
    word: said(WORDS[name]),
    value: thousandth(values[i]),
    sd: thousandth(sd[i]),
    unit: name.startsWith("shift") ? "mm" : "mm_per_m",
    known: !cannotTell.includes(name),
  }));

/** @param {Setup} setup @param {import("./mechanics/adjusters.js").Adjustment} adjustment */
function pressOf({ adjusters }, { steps, limited, divisions }) {
  const used = adjusters.filter((/** @type {any} */ one) => divisions[one.name]);
  const told = used.map((/** @type {any} */ one) => {
    const amount = divisions[one.name];
    return { name: one.name, divisions: thousandth(Math.abs(amount)), unit: one.division, way: amount > 0 ? one.plus : one.minus };
  });
  return { steps, limited, adjusters: told };
}

/** What press and bolts together do to the image and to the readings. @param {Setup} setup @param {State} state @param {import("./mechanics/adjusters.js").Adjustment | null} adjustment @param {Record<string, number>} turns @param {number} factor */
function effectOf({ layout, limits }, state, adjustment, turns, factor) {
  const any = Object.keys(turns).length > 0;
  const seen = (/** @type {Place[]} */ places) => foresee(state, turns, places, limits);

  /** mm at places, in x and in y. @param {Place[]} places @returns {ArrayLike<number>[]} */
  function moved(places) {
    const byBolts = any ? seen(places).movedMm : [new Float64Array(places.length), new Float64Array(places.length)];
    const byPress = places.map((place) => {
      const [x, y] = centredMm(layout, place).map((mm) => mm / 1000);
      const { shiftMm, rotationMrad } = adjustment ?? { shiftMm: [0, 0], rotationMrad: 0 };
      return [shiftMm[0] - rotationMrad * y, shiftMm[1] + rotationMrad * x];
    });
    return byBolts.map((one, axis) => one.map((x, i) => byPress[i][axis] + factor * x));
  }

  /** @param {Place[]} places */
  function predicted(places) {
    if (!any || !places.length) return [];
    const { low, tension, high } = seen(places);
    return foretold(places, low, tension, high);
  }

  return { moved, predicted, loose: any ? seen([[0.5, 0.5]]).loose : [] };
}
