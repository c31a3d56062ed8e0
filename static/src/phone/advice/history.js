/** What the log says about a screen, as steps of the estimate. */
import { t } from "../../shared/language.js";
import { correctedMs } from "../entries/time.js";
import { PER_TURN } from "./mechanics/bolts.js";
import { reading } from "./mechanics/readings.js";
import { afterRest } from "./mechanics/resting.js";
import { reset } from "./mechanics/stand_out.js";
import { afterTurns } from "./mechanics/turning.js";
import { afterReadings } from "./mechanics/updating.js";

const HOUR_MS = 3_600_000;
const TURNS = ["bolt_turns", "register_tweak"];
const HANDLED = ["washed", "coated", "reclaimed"];
const USED = new Set([...TURNS, ...HANDLED, "mesh_fitted", "nipped_up", "tension_check", "stand_out"]);
const SECOND_HAND = t`The screen came stretched: nobody counted its turns.`;

/**
 * @typedef {import("./setup.js").Setup} Setup
 * @typedef {{id?: string, kind: string, payload: any, occurred_at: string, clock_offset_ms: number}} Entry
 *
 * @typedef {object} Believed  at one moment of the log; times in UTC ms, null where nothing happened yet
 * @property {import("./mechanics/state.js").State} state
 * @property {number | null} at @property {number | null} turnedAt @property {number | null} zeroMm @property {number} handled @property {string | null} why
 */

/** Every step that the entries make, in fold order. @param {Setup} setup @param {Believed} start @param {Entry[]} entries @returns {Believed} */
export function follow(setup, start, entries) {
  return roundsOf(entries).reduce((now, [entry, nipped]) => take(setup, rest(now, entry), entry, nipped), start);
}

/** Entries that matter, each round with the nipping up that ended it. @param {Entry[]} entries */
function roundsOf(entries) {
  /** @type {[Entry, Entry | null][]} */
  const out = [];
  let open = false;
  for (const entry of entries.filter(({ kind }) => USED.has(kind))) {
    if (entry.kind !== "nipped_up") out.push([entry, null]);
    else if (open) out[out.length - 1][1] = entry;
    open = TURNS.includes(entry.kind);
  }
  return out;
}

/** What the time since the last step did, before something is read or turned. @param {Believed} now @param {Entry} entry @returns {Believed} */
function rest(now, entry) {
  const at = correctedMs(entry);
  const reads = entry.kind === "tension_check" || TURNS.includes(entry.kind);
  if (now.at === null || !reads) return now;
  const since = now.turnedAt ?? now.at;
  const [from, to] = [now.at, at].map((moment) => Math.max(moment - since, 0) / HOUR_MS);
  return { ...now, state: afterRest(now.state, from, to, now.handled), at: Math.max(at, now.at), handled: 0 };
}

/** @param {Setup} setup @param {Believed} now @param {Entry} entry @param {Entry | null} nipped @returns {Believed} */
function take(setup, now, entry, nipped) {
  const { kind, payload } = entry;
  const at = correctedMs(entry);
  const here = { ...now, at: Math.max(at, now.at ?? at) };
  if (TURNS.includes(kind)) return turn(setup, here, payload.bolts, nipped && nipped.payload.bolts, at);
  if (kind === "tension_check") return payload.stencil === "coated" ? here : read(here, payload.spots);
  if (kind === "stand_out") return measured(setup, here, payload.bolts);
  if (kind !== "mesh_fitted") return { ...here, handled: here.handled + 1 };
  return payload.second_hand ? { ...here, state: here.state.with({ trusted: false }), why: SECOND_HAND } : here;
}

/** @param {Setup} setup @param {Believed} now @param {any[]} bolts @param {any[] | null} nipped @param {number} at @returns {Believed} */
function turn(setup, now, bolts, nipped, at) {
  const { layout, limits } = setup;
  const turns = inTurns(setup, bolts);
  if (!Object.keys(turns).length) return now;
  const turnable = limits.turnable(layout).map((can, i) => can || layout.names[i] in turns);
  const taken = nipped && layout.vector(inTurns(setup, nipped));
  return { ...now, state: afterTurns(now.state, layout.vector(turns), turnable, limits.isBroken(layout), taken), turnedAt: at };
}

/** Whole turns by bolt; bolts that this frame does not have are left out. @param {Setup} setup @param {{bolt: string, turn_48ths: number}[]} bolts */
export function inTurns({ layout }, bolts) {
  /** @type {Record<string, number>} */
  const out = {};
  for (const { bolt, turn_48ths } of bolts) if (layout.places.has(bolt)) out[bolt] = (out[bolt] ?? 0) + turn_48ths / PER_TURN;
  return out;
}

/** @param {Believed} now @param {any[]} spots @returns {Believed} */
function read(now, spots) {
  const state = afterReadings(now.state, readingsOf(spots));
  const doubted = now.state.trusted && !state.trusted;
  return { ...now, state, why: doubted && state.surprise ? state.surprise.message : now.why };
}

/** @param {any[]} spots */
export const readingsOf = (spots) => spots.map((s) => reading(s.u, s.v, s.along_a_n_per_cm ?? null, s.across_a_n_per_cm ?? null));

/** Stand-outs put the bars where they are; only sides measured at two bolts can say so. @param {Setup} setup @param {Believed} now @param {any[]} bolts @returns {Believed} */
function measured({ layout }, now, bolts) {
  const told = new Map(bolts.flatMap((one) => (layout.places.has(one.bolt) ? [[one.bolt, one.stand_out_mm]] : [])));
  const onSide = (/** @type {string} */ bolt) => [...told.keys()].filter((other) => other[0] === bolt[0]).length;
  const enough = [...told].filter(([bolt]) => onSide(bolt) >= Math.min(2, layout.bolts[/** @type {"A"} */ (bolt[0])].length));
  if (!enough.length) return now;
  const zeroMm = now.zeroMm ?? median(enough.map(([bolt, mm]) => mm - now.state.barMm[layout.index(bolt)]));
  return { ...now, state: reset(now.state, Object.fromEntries(enough), zeroMm), zeroMm, why: null };
}

/** @param {number[]} values */
function median(values) {
  const sorted = [...values].sort((a, b) => a - b);
  const half = sorted.length / 2;
  return sorted.length % 2 ? sorted[Math.floor(half)] : (sorted[half - 1] + sorted[half]) / 2;
}

/** The least of a history: all turns at once, then the last bare check. @param {any} screen @returns {Entry[]} */
export function fromTotals(screen) {
  const at = { occurred_at: screen.fitted_at, clock_offset_ms: 0 };
  const bolts = Object.entries(screen.turns).flatMap(([bolt, turn_48ths]) => (turn_48ths ? [{ bolt, turn_48ths }] : []));
  const turned = { kind: "bolt_turns", payload: { bolts }, ...at };
  const check = screen.checks.bare;
  if (!check) return [turned];
  return [turned, { ...at, kind: "tension_check", payload: { stencil: "bare", spots: check.spots }, occurred_at: check.at }];
}
