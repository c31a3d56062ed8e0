/** What to do about a register error: leave it, the press, the bolts, or none of these. */
import { t } from "../../../shared/language.js";
import { register as numbers } from "../numbers.js";
import { apply } from "./algebra.js";
import { adjust } from "./adjusters.js";
import { affineRows, decompose, openMessage, part } from "./decomposition.js";
import { InputFault } from "./faults.js";
import { mark, scatter, significance } from "./marks.js";
import { planRegister } from "./register_plan.js";
import { fixed, short, signed } from "./text.js";

/**
 * @typedef {import("./marks.js").Mark} Mark
 * @typedef {import("./decomposition.js").Decomposition} Decomposition
 * @typedef {import("./adjusters.js").Adjustment} Adjustment
 *
 * @typedef {object} Question
 * @property {import("./state.js").State} state @property {Mark[][]} pulls the same places in the same order
 * @property {import("./register_program.js").RegisterAim} aim @property {import("./limits.js").Limits} limits
 * @property {import("./adjusters.js").Adjuster[]} adjusters @property {import("./views.js").View} view
 * @property {Mark[]} keyMarks the key colour's own: what they show is the sheet's @property {string} eye loupe | naked
 *
 * @typedef {object} RegisterAnswer
 * @property {"leave" | "press" | "bolts" | "cannot"} kind @property {string} message
 * @property {import("./marks.js").Significance} significance @property {Decomposition} decomposition
 * @property {Decomposition | null} sheet @property {Mark[]} marks means of the pulls, the sheet's growth taken out
 * @property {Adjustment | null} adjustment @property {import("./register_plan.js").RegisterPlan | null} plan @property {number | null} cost N/cm
 */

/** One of four answers, tried in this order: leave alone, press, bolts, bolts cannot. @param {Question} question @returns {RegisterAnswer} */
export function answer({ state, pulls, aim, limits, adjusters, view, keyMarks, eye }) {
  if (!["loupe", "naked"].includes(eye)) throw new InputFault("eye", eye, t`Say whether you look with a loupe or the naked eye.`);
  const { layout } = state;
  const taken = scatter(pulls);
  const { marks, sheet } = withoutSheet(layout, taken.marks, keyMarks);
  const real = significance({ ...taken, marks }, aim.tolerance_mm, eye);
  const parts = decompose(layout, marks);
  /** @type {RegisterAnswer} */
  const found = { kind: "bolts", message: "", significance: real, decomposition: parts, sheet, marks, adjustment: null, plan: null, cost: null };
  if (real.verdict !== "real") return { ...found, ...leaveIt(real, sheet, taken.marks, aim) };
  let rest = marks;
  if (adjusters.length) {
    found.adjustment = adjust(layout, marks, adjusters, view);
    ({ rest } = found.adjustment);
    const left = significance({ ...taken, marks: rest }, aim.tolerance_mm, eye);
    if (left.verdict !== "real") return { ...found, kind: "press", message: [t`The press can take it.`, ...found.adjustment.steps].join(" ") };
  }
  const plan = (found.plan = planRegister(state, rest, aim, limits));
  const helps = plan.status === "optimal" && plan.afterMm <= Math.max(aim.tolerance_mm, numbers.ENOUGH * plan.beforeMm);
  return helps ? { ...found, message: sayBolts(plan, found.adjustment, aim, parts) } : cannot(found, state, rest, aim, limits);
}

/** Marks with the sheet's own growth taken out, and that growth. @param {import("./layout.js").Layout} layout @param {Mark[]} marks @param {Mark[]} keyMarks */
function withoutSheet(layout, marks, keyMarks) {
  if (keyMarks.length < 2) return { marks, sheet: null };
  const sheet = decompose(layout, keyMarks);
  const rows = affineRows(layout, marks.map(({ u, v }) => [u, v]));
  const grown = apply(rows, sheet.values.map((x, i) => x * numbers.STRETCHES[i]));
  const out = marks.map((one, i) => mark(one.u, one.v, one.dx - grown[i], one.dy - grown[marks.length + i], one.sd));
  return { marks: out, sheet };
}

/** @param {import("./marks.js").Significance} real @param {Decomposition | null} sheet @param {Mark[]} raw @param {{tolerance_mm: number}} aim @returns {Pick<RegisterAnswer, "kind" | "message">} */
function leaveIt(real, sheet, raw, aim) {
  const worst = Math.max(...raw.flatMap(({ dx, dy }) => [Math.abs(dx), Math.abs(dy)]));
  if (!sheet || real.verdict !== "small" || worst <= aim.tolerance_mm) return { kind: "leave", message: real.message };
  const message = t`The sheet moved, not the mesh: ${grownBy(sheet)} on the key colour itself. Let the stock come to the room's air, print dry passes alike, or remake the films.`;
  return { kind: "cannot", message };
}

/** @param {Decomposition} parts */
const grownBy = (parts) => t`${signed(part(parts, "stretch_x"), 2)} mm per m along A and ${signed(part(parts, "stretch_y"), 2)} across`;

/** @param {import("./register_plan.js").RegisterPlan} plan @param {Adjustment | null} adjustment @param {{tolerance_mm: number}} aim @param {Decomposition} parts */
function sayBolts(plan, adjustment, aim, parts) {
  const said = adjustment?.steps.length ? [t`First the press: ${adjustment.steps.join(" ")}`, t`Then the bolts: ${plan.message}`] : [plan.message];
  if (plan.afterMm > aim.tolerance_mm) said.push(t`That still leaves more than ${short(aim.tolerance_mm)} mm: pull and ask again.`);
  return [...said, openMessage(parts)].filter(Boolean).join(" ");
}

/** How much is left, what the bolts would have cost, and what to do instead. @param {RegisterAnswer} found @param {import("./state.js").State} state @param {Mark[]} rest @param {import("./register_program.js").RegisterAim} aim @param {import("./limits.js").Limits} limits @returns {RegisterAnswer} */
function cannot(found, state, rest, aim, limits) {
  const without = planRegister(state, rest, { ...aim, tension_change_n_per_cm: 30, band: null }, limits);
  const cost = Math.max(...without.tensionChange.map(Math.abs));
  const dear = without.status === "optimal" && cost > aim.tension_change_n_per_cm;
  const steps = found.adjustment?.steps ?? [];
  const said = [
    steps.length ? t`The press takes a part: ${steps.join(" ")}` : "",
    t`Bolts cannot mend this: ${grownBy(decompose(state.layout, rest))}.`,
    dear ? t`It would take ${fixed(cost, 0)} N/cm of tension.` : (found.plan?.message ?? ""),
    t`Correct the film by that much, or look to the sheet.`,
  ];
  return { ...found, kind: "cannot", message: said.filter(Boolean).join(" "), cost };
}
