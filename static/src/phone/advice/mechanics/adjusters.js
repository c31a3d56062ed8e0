/** Shift and twist on the press's own adjusters, in the press's own terms. */
import { said, t } from "../../../shared/language.js";
import { adjusters as numbers } from "../numbers.js";
import { Matrix, apply, fromRows, product } from "./algebra.js";
import { InputFault, number, oneOf } from "./faults.js";
import { mark } from "./marks.js";
import { whole } from "./rounding.js";
import { leastSquares, pseudoInverse } from "./singular.js";
import { short } from "./text.js";
import { centredMm } from "./views.js";

/**
 * @typedef {object} Adjuster  as the printer stands in front of it
 * @property {string} name @property {number} right where it acts @property {number} away @property {string} moves
 * @property {number} mm_per_division @property {string} plus @property {string} minus @property {string} division
 * @property {number} smallest @property {number} backlash @property {number} order @property {number} most
 *
 * @typedef {object} Adjustment
 * @property {Record<string, number>} divisions @property {string[]} steps @property {number[]} shiftMm @property {number} rotationMrad
 * @property {import("./marks.js").Mark[]} rest @property {string[]} limited at the end of their travel
 */

/** @param {Partial<Adjuster>} told @returns {Adjuster} */
export function adjuster(told) {
  const own = /** @type {Adjuster} */ ({ ...numbers.Adjuster, ...told });
  oneOf("moves", own.moves, ["right", "away"], t`Say which way plus pushes the screen`);
  number("right", own.right, -2, 3, t`Enter where it acts, as a fraction to the right`);
  number("away", own.away, -2, 3, t`Enter where it acts, as a fraction away from you`);
  number("mm_per_division", own.mm_per_division, 1e-4, 50, t`Enter its travel per division`);
  number("smallest", own.smallest, 1e-3, 10, t`Enter the smallest part of a division`);
  number("backlash", own.backlash, 0, 1000, t`Enter the backlash in divisions`);
  number("most", own.most, 0, 1e6, t`Enter the most divisions`);
  return own;
}

/**
 * Take out what shift and twist these adjusters can, by weighted least squares on the marks.
 *
 * @param {import("./layout.js").Layout} layout @param {import("./marks.js").Mark[]} marks
 * @param {Adjuster[]} adjusters @param {import("./views.js").View} view
 * @returns {Adjustment}
 */
export function adjust(layout, marks, adjusters, view) {
  if (new Set(adjusters.map((one) => one.name)).size < adjusters.length) {
    throw new InputFault("adjusters", t`same name twice`, t`Give every adjuster its own name.`);
  }
  const rigid = rigidRows(marks.map(({ u, v }) => centredMm(layout, [u, v])));
  const perMm = pseudoInverse(leversOf(layout, adjusters, view), 1e-9);
  const mm = adjusters.map((one) => one.mm_per_division);
  const sd = [...marks, ...marks].map((one) => one.sd);
  const rows = product(rigid, new Matrix(3, mm.length, perMm.data.map((x, i) => x * mm[i % mm.length])));
  const wanted = [...marks.map((one) => -one.dx), ...marks.map((one) => -one.dy)].map((x, i) => x / sd[i]);
  const free = leastSquares(new Matrix(rows.rows, rows.cols, rows.data.map((x, i) => x / sd[Math.floor(i / rows.cols)])), wanted, 1e-9);
  const set = adjusters.map(({ smallest, most }, i) => Math.min(Math.max(whole(free[i] / smallest) * smallest, -most), most));
  const motion = apply(perMm, set.map((divisions, i) => divisions * mm[i]));
  const moved = apply(rigid, motion);
  const rest = marks.map((one, i) => mark(one.u, one.v, one.dx + moved[i], one.dy + moved[marks.length + i], one.sd));
  const divisions = Object.fromEntries(adjusters.map(({ name }, i) => [name, set[i] + 0]));
  const limited = adjusters.filter(({ name, most }) => Math.abs(divisions[name]) >= most).map(({ name }) => name);
  return { divisions, steps: stepsOf(adjusters, divisions), shiftMm: [motion[0], motion[1]], rotationMrad: motion[2], rest, limited };
}

/** (2n, 3) displacement per mm of shift in x, in y, and per mrad of rotation. @param {number[][]} at mm from the middle */
function rigidRows(at) {
  return fromRows([...at.map(([, y]) => [1, 0, -y / 1000]), ...at.map(([x]) => [0, 1, x / 1000])], 3);
}

/** (k, 3) travel at each adjuster per unit of shift x, shift y, rotation. @param {import("./layout.js").Layout} layout @param {Adjuster[]} adjusters @param {import("./views.js").View} view */
function leversOf(layout, adjusters, view) {
  const rows = adjusters.map(({ right, away, moves }) => {
    const { data } = rigidRows([centredMm(layout, view.place([right, away]))]);
    const [x, y] = moves === "right" ? view.direction(1, 0) : view.direction(0, 1);
    return [0, 1, 2].map((i) => x * data[i] + y * data[3 + i]);
  });
  return fromRows(rows, 3);
}

/** @param {Adjuster[]} adjusters @param {Record<string, number>} divisions */
function stepsOf(adjusters, divisions) {
  const used = [...adjusters].sort((a, b) => a.order - b.order).filter(({ name }) => divisions[name]);
  const out = used.map(({ name, division, plus, minus, backlash }) => {
    const d = divisions[name];
    const text = `${name}: ${short(Math.abs(d))} ${said(division)} ${said(d > 0 ? plus : minus)}.`;
    if (!backlash) return text;
    if (d > 0) return `${text} ${t`Take up its play of ${short(backlash)} first.`}`;
    return `${text} ${t`Go ${short(backlash)} further and come back, so that you end turning ${said(plus)}.`}`;
  });
  return out.length ? [...out, t`Lock, then pull again.`] : [];
}
