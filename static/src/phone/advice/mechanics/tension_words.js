/** What is said about a turn plan for tension. */
import { said, t } from "../../../shared/language.js";
import { sayTurns } from "./limits.js";
import { short } from "./text.js";

/**
 * @typedef {import("./tension_program.js").TensionProgram} TensionProgram
 * @typedef {import("./quadratic.js").Solution} Solution
 */

export const TOO_TIGHT = t`No turns satisfy all limits at once: widen one of them.`;
export const TOO_COARSE = t`No whole steps satisfy all limits: choose a finer step.`;
const COATED = t`Emulsion is on: turning now moves the image and may crack the stencil. Retension after reclaim, or let the screen room override this with a reason.`;

/**
 * Why there is no plan, if so: status and message.
 *
 * @param {import("./state.js").State} state @param {import("./tension_program.js").Aim} aim
 * @param {import("./limits.js").Limits} limits @param {boolean} coated
 * @returns {[string, string] | null}
 */
export function refusal(state, { target }, limits, coated) {
  const { cap } = limits;
  if (coated) return ["refused", COATED];
  if (cap !== null && target > cap) {
    return ["refused", t`The target ${short(target)} N/cm is above the mesh's highest tension ${short(cap)} N/cm. Lower the target or choose another mesh.`];
  }
  if (!limits.moving(state.layout).some(Boolean)) return ["blocked", t`No bolt can be turned: all are hidden, seized or broken.`];
  if (state.tensionSd([[0.5, 0.5]]).every(([sd]) => sd > 6)) return ["blocked", t`No reading yet: read at least the middle, along and across.`];
  return null;
}

/** @param {boolean} within */
export const leaveMessage = (within) =>
  within
    ? t`In tolerance: leave it alone.`
    : t`No turn of the bolts that can be reached would bring it closer. Leave it, or read more places.`;

/** @param {TensionProgram} built @param {boolean} reaches @param {number} rounds */
export function roundMessage({ known, state, at }, reaches, rounds) {
  const sides = new Set(at.map((i) => state.layout.names[i][0]));
  const stuck = ["BD", "AC"].map((pair) => ![...pair].some((side) => sides.has(side)));
  const parts = [
    reaches
      ? t`This round should bring every reading into tolerance.`
      : stuck.some(Boolean)
        ? t`These bolts cannot bring every reading into tolerance.`
        : t`One round is not enough: about ${rounds} to go, this one included.`,
  ];
  [t`along A`, t`across A`].forEach((word, axis) => {
    if (!known[axis]) parts.push(t`No readings ${word}: the bolts that pull that way stay.`);
    else if (stuck[axis]) parts.push(t`No bolt that pulls ${word} can be turned: that tension stays.`);
  });
  if (state.surprise?.message) parts.push(said(state.surprise.message));
  if (!state.trusted) parts.push(t`The count of turns is not trusted: measure the bars' stand-out, or go in small turns.`);
  return parts.join(" ");
}

/** Limits that shaped the plan. @param {TensionProgram} built @param {Solution} answer */
export function activeIn({ state, limits, at, neighbours }, { boundActive, rowActive }) {
  const { layout, caution } = state;
  const { pairs } = neighbours;
  const out = heldBolts(at.map((i) => layout.names[i]), boundActive, limits, { caution, perRound: true });
  const close = pairs.filter((_, i) => rowActive[i]).map((pair) => pair.join("-"));
  if (close.length) out.push(t`Neighbours may differ by ${sayTurns(limits.neighbourTurns)}: ${close.join(", ")}.`);
  if (rowActive.slice(pairs.length).some(Boolean)) out.push(t`The mesh's highest tension, ${short(limits.cap ?? 0)} N/cm, is near.`);
  if (caution < 1) out.push(t`The readings are not what was expected: smaller turns this time.`);
  return [...out, ...limits.saidStill(layout)];
}

/** @type {((turns: string, bolts: string) => string)[]} */
const HELD = [(turns, bolts) => t`At most ${turns} tightened: ${bolts}.`, (turns, bolts) => t`At most ${turns} loosened: ${bolts}.`];
/** @type {typeof HELD} */
const HELD_IN_ROUND = [(turns, bolts) => t`At most ${turns} tightened per round: ${bolts}.`, (turns, bolts) => t`At most ${turns} loosened per round: ${bolts}.`];

/** Bolts at the most they may turn. @param {string[]} names @param {number[]} active @param {import("./limits.js").Limits} limits @param {{caution?: number, perRound?: boolean}} [told] */
export function heldBolts(names, active, limits, { caution = 1, perRound = false } = {}) {
  const [tightened, loosened] = perRound ? HELD_IN_ROUND : HELD;
  const out = [];
  for (const [sign, say, limit] of /** @type {[number, (turns: string, bolts: string) => string, number][]} */ ([[1, tightened, limits.turns], [-1, loosened, limits.loosenTurns]])) {
    const held = names.filter((_, i) => active[i] === sign);
    if (held.length) out.push(say(sayTurns(limit * caution), held.join(", ")));
  }
  return out;
}
