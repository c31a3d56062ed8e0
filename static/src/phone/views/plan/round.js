/** A round being turned bolt by bolt, as one value that taps change; and what it leaves in the log. Pure. */
import { newDraft } from "../../entries/index.js";

/**
 * @typedef {{bolt: string, turn_48ths: number}} Turn
 *
 * @typedef {object} Round
 * @property {Turn[]} asked  in wrench order
 * @property {Record<string, number>} turns  what is turned, or will be: as asked until told otherwise
 * @property {string[]} done  ticked off
 * @property {number} at  the bolt in hand, counted through `asked`; past the end when all are done
 * @property {{bolt: string, turn: number}[]} nipped  taps on bolts that had gone loose
 */

/** @param {Turn[]} asked @returns {Round} */
export const begin = (asked) => ({ asked, turns: Object.fromEntries(asked.map((one) => [one.bolt, one.turn_48ths])), done: [], at: 0, nipped: [] });

/** The next bolt not ticked off, from here on and then from the start. @param {Round} round @param {number} from */
function nextOpen({ asked, done }, from) {
  const open = (/** @type {Turn} */ one) => !done.includes(one.bolt);
  const after = asked.findIndex((one, i) => i >= from && open(one));
  if (after >= 0) return after;
  const before = asked.findIndex(open);
  return before >= 0 ? before : asked.length;
}

/** The bolt in hand is done. @param {Round} round @returns {Round} */
export function tick(round) {
  const now = round.asked[round.at];
  if (!now) return round;
  const done = [...round.done.filter((bolt) => bolt !== now.bolt), now.bolt];
  return { ...round, done, at: nextOpen({ ...round, done }, round.at + 1) };
}

/** The last tick is taken back: that bolt is in hand again. @param {Round} round @returns {Round} */
export function tickBack(round) {
  const last = round.done.at(-1);
  if (!last) return round;
  return { ...round, done: round.done.slice(0, -1), at: round.asked.findIndex((one) => one.bolt === last) };
}

/** One bolt ticked, or its tick taken off, out of order. @param {Round} round @param {string} bolt @returns {Round} */
export function toggle(round, bolt) {
  const ticked = round.done.includes(bolt);
  const done = ticked ? round.done.filter((one) => one !== bolt) : [...round.done, bolt];
  const here = round.asked.findIndex((one) => one.bolt === bolt);
  return { ...round, done, at: ticked ? here : nextOpen({ ...round, done }, round.at) };
}

/** The bolt in hand was turned by something else. @param {Round} round @param {number} by 48ths @returns {Round} */
export function turnedBy(round, by) {
  const now = round.asked[round.at];
  if (!now) return round;
  return { ...round, turns: { ...round.turns, [now.bolt]: round.turns[now.bolt] + by } };
}

/** A loose bolt taken up by one step. @param {Round} round @param {string} bolt @param {number} turn @returns {Round} */
export const nip = (round, bolt, turn) => ({ ...round, nipped: [...round.nipped, { bolt, turn }] });

/** @param {Round} round @returns {Round} */
export const nipBack = (round) => ({ ...round, nipped: round.nipped.slice(0, -1) });

/** Turns by bolt of the nipping so far. @param {Round} round @returns {Record<string, number>} */
export function nippedTurns({ nipped }) {
  /** @type {Record<string, number>} */ const sums = {};
  for (const { bolt, turn } of nipped) sums[bolt] = (sums[bolt] ?? 0) + turn;
  return sums;
}

/** What was really turned. @param {Round} round @returns {Turn[]} in wrench order */
export const turnedBolts = ({ asked, turns, done }) =>
  asked.filter(({ bolt }) => done.includes(bolt) && turns[bolt] !== 0).map(({ bolt }) => ({ bolt, turn_48ths: turns[bolt] }));

/**
 * The entries of a finished round, in the order in which they happened. The plan's id is that of
 * the kept draft, so that saving drops the draft in the same stroke.
 *
 * @param {object} about
 * @param {import("../../entries/types.js").Draft & Record<string, any>} about.draft  of the plan
 * @param {any} about.plan  payload of its entry
 * @param {string} about.began  when turning began
 * @param {{turns: string, nipped: string}} about.ids
 * @param {Round} about.round
 * @param {{kind: "bolt_turns" | "register_tweak", payload: any}} about.turned  without bolts and plan
 * @param {{operator: string | null, scanned: string | null}} about.by
 * @returns {import("../../entries/types.js").Draft[]}
 */
export function entriesOf({ draft, plan, began, ids, round, turned, by }) {
  const { frame, screen } = draft;
  const make = (/** @type {any} */ one) => newDraft({ frame, screen, ...by, ...one });
  const bolts = turnedBolts(round);
  const nipped = Object.entries(nippedTurns(round)).map(([bolt, turn_48ths]) => ({ bolt, turn_48ths }));
  const drafts = [make({ id: draft.id, kind: "turn_plan", occurred_at: began, payload: plan })];
  if (bolts.length > 0 || turned.kind === "register_tweak") {
    drafts.push(make({ id: ids.turns, kind: turned.kind, payload: { ...turned.payload, bolts, plan: draft.id } }));
  }
  return [...drafts, make({ id: ids.nipped, kind: "nipped_up", payload: { bolts: nipped } })];
}
