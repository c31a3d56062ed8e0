/** What a plan may and may not do, as rows of a program and as sentences. */
import { n, t } from "../../../shared/language.js";
import { limits as numbers } from "../numbers.js";
import { Matrix } from "./algebra.js";
import { number } from "./faults.js";
import { SIDES } from "./layout.js";

/** @typedef {import("./layout.js").Layout} Layout */

export class Limits {
  /**
   * @param {Partial<typeof numbers.Limits>} told turns, loosen_turns, neighbour_turns, cap_n_per_cm, first_round
   * @param {{hidden?: string[], seized?: string[], broken?: string[]}} [bolts]
   */
  constructor(told, { hidden = [], seized = [], broken = [] } = {}) {
    const own = { ...numbers.Limits, ...told };
    this.turns = number("turns", own.turns, 1 / 16, numbers.HARD_TURNS, t`Enter the most turns per round`);
    this.loosenTurns = number("loosen_turns", own.loosen_turns, 0, numbers.HARD_TURNS, t`Enter the most turns to loosen`);
    this.neighbourTurns = number("neighbour_turns", own.neighbour_turns, 1 / 16, 6, t`Enter the most turns of difference`);
    /** @type {number | null} */
    this.cap = own.cap_n_per_cm ?? null;
    if (this.cap !== null) number("cap_n_per_cm", this.cap, 1, 150, t`Enter the mesh's highest tension in N/cm`);
    this.firstRound = own.first_round;
    this.hidden = new Set(hidden);
    this.seized = new Set(seized);
    this.broken = new Set(broken);
  }

  /** Bolts a wrench can turn at all. @param {Layout} layout */
  turnable(layout) {
    const fixed = new Set([...this.hidden, ...this.seized, ...this.broken]);
    fixed.forEach((name) => layout.index(name));
    return layout.names.map((name) => !fixed.has(name));
  }

  /** Bolts this round may move. @param {Layout} layout */
  moving(layout) {
    const ends = this.#heldEnds(layout);
    return this.turnable(layout).map((can, i) => can && !ends[i]);
  }

  /** End bolts of sides that have others to turn. @param {Layout} layout */
  #heldEnds(layout) {
    return layout.names.map((name) => this.firstRound && layout.ends.has(name) && layout.bolts[/** @type {"A"} */ (name[0])].length > 3);
  }

  /** Bolts that hold nothing. @param {Layout} layout */
  isBroken(layout) {
    return layout.names.map((name) => this.broken.has(name));
  }

  /** Why a bolt does not move, by name. @param {Layout} layout @returns {Map<string, string>} */
  whyStill(layout) {
    const ends = this.#heldEnds(layout);
    const why = (/** @type {string} */ name, /** @type {number} */ i) => {
      if (this.broken.has(name)) return t`broken`;
      if (this.seized.has(name)) return t`seized`;
      if (this.hidden.has(name)) return t`cannot be reached`;
      return ends[i] ? t`end bolt, stays in the first round` : "";
    };
    return new Map(layout.names.flatMap((name, i) => (why(name, i) ? [[name, why(name, i)]] : [])));
  }

  /** The same in sentences, each reason with its bolts. @param {Layout} layout */
  saidStill(layout) {
    const still = [...this.whyStill(layout)];
    const reasons = [...new Set(still.map(([, why]) => why))];
    return reasons.map((why) => `${still.flatMap(([name, its]) => (its === why ? [name] : [])).join(", ")}: ${why}.`);
  }
}

/**
 * Neighbours that both move: rows (pairs, bolts) of their difference, and their names.
 *
 * @param {Layout} layout @param {boolean[]} moving
 * @returns {{rows: Matrix, pairs: [string, string][]}}
 */
export function neighbourRows(layout, moving) {
  const at = SIDES.flatMap((side) => layout.columns(side).slice(1)).filter((i) => moving[i - 1] && moving[i]);
  const rows = new Matrix(at.length, layout.count);
  at.forEach((i, row) => rows.row(row).set([-1, 1], i - 1));
  return { rows, pairs: at.map((i) => [layout.names[i - 1], layout.names[i]]) };
}

/** Turns as a printer says them: 1 3/8 turns. @param {number} turns */
export function sayTurns(turns) {
  const all = roundHalfEven(48 * Math.abs(turns));
  const [whole, part] = [Math.floor(all / 48), all % 48];
  if (!part) return n(whole)`# turn|# turns`;
  const of = [2, 3, 4, 6, 8, 16, 48].find((parts) => (part * parts) % 48 === 0) ?? 48;
  const fraction = `${(part * of) / 48}/${of}`;
  return whole ? t`${whole} ${fraction} turns` : t`${fraction} turn`;
}

/** @param {number} x */
const roundHalfEven = (x) => (x % 1 === 0.5 ? 2 * Math.round(x / 2) : Math.round(x));
