/**
 * Readings of a check being taken, as one value that keys change. Two digits make a reading,
 * ½ amends the one just finished, the next digit starts another; a step back is always there.
 *
 * @typedef {import("../../../shared/types.js").Direction} Direction
 * @typedef {{u: number, v: number}} At
 * @typedef {{spots: At[], order: "both" | "along_first", read: Record<string, number>, at: number,
 *   typed: string, last: number | null, tenth: boolean}} Readings
 *   `at` counts through the walk, `last` is the step just finished, `tenth`: a digit amends it
 */

/** @type {Direction[]} */
const BOTH = ["along_a", "across_a"];
const HAIR = 1e-9;

/** @param {At[]} spots @param {"both" | "along_first"} order @returns {{spot: At, direction: Direction, key: string}[]} */
export function walk(spots, order) {
  const step = (/** @type {At} */ spot, /** @type {Direction} */ direction) => ({ spot, direction, key: keyOf(spot, direction) });
  if (order === "along_first") return BOTH.flatMap((direction) => spots.map((spot) => step(spot, direction)));
  return spots.flatMap((spot) => BOTH.map((direction) => step(spot, direction)));
}

/** @param {At} spot @param {Direction} direction */
export const keyOf = (spot, direction) => `${spot.u} ${spot.v} ${direction}`;

/** @param {At[]} spots @param {"both" | "along_first"} order @param {Record<string, number>} [read] @returns {Readings} */
export function begin(spots, order, read = {}) {
  const state = { spots, order, read, at: 0, typed: "", last: null, tenth: false };
  return { ...state, at: nextEmpty(state, 0) };
}

/** The next step without a reading, from a place on; past the end when there is none. @param {Readings} state @param {number} from */
function nextEmpty(state, from) {
  const steps = walk(state.spots, state.order);
  const after = steps.findIndex((step, i) => i >= from && !(step.key in state.read));
  return after < 0 ? steps.length : after;
}

/** @param {Readings} state @param {string} digit */
function typeDigit(state, digit) {
  const step = walk(state.spots, state.order)[state.at];
  if (!step) return state;
  const typed = state.typed + digit;
  if (typed.length < 2) return { ...state, typed };
  const value = Number(typed);
  // A mesh reads something; 00 is a slip of the thumb.
  if (value === 0) return { ...state, typed: "" };
  const done = { ...state, read: { ...state.read, [step.key]: value }, typed: "", last: state.at };
  return { ...done, at: nextEmpty(done, state.at + 1) };
}

/** Puts a fraction on the reading just finished. @param {Readings} state @param {(whole: number, value: number) => number} amend */
function amendLast(state, amend) {
  const step = state.last === null ? undefined : walk(state.spots, state.order)[state.last];
  if (!step || state.typed) return state;
  const value = state.read[step.key];
  return { ...state, tenth: false, read: { ...state.read, [step.key]: amend(Math.floor(value), value) } };
}

/** Pressed again, the half is taken off. @param {Readings} state */
const typeHalf = (state) => amendLast(state, (whole, value) => (value === whole ? whole + 0.5 : whole));

/** @param {Readings} state @param {string} digit */
const typeTenth = (state, digit) => amendLast(state, (whole) => Math.round(whole * 10 + Number(digit)) / 10);

/** Takes back the digit, else the reading, that came last. @param {Readings} state @returns {Readings} */
function stepBack(state) {
  if (state.typed || state.tenth) return { ...state, typed: "", tenth: false };
  const steps = walk(state.spots, state.order);
  const before = steps.slice(0, state.at).findLastIndex((step) => step.key in state.read);
  const to = state.last ?? before;
  if (to < 0) return state;
  const { [steps[to].key]: _, ...read } = state.read;
  const earlier = steps.slice(0, to).findLastIndex((step) => step.key in read);
  return { ...state, read, at: to, last: earlier < 0 ? null : earlier };
}

/** @param {Readings} state @param {string} key a digit, "½", "." (meters that show tenths) or "back" @returns {Readings} */
export function press(state, key) {
  if (key === "back") return stepBack(state);
  if (key === "½") return typeHalf(state);
  if (key === ".") return state.last === null || state.typed ? state : { ...state, tenth: true };
  if (!/^\d$/.test(key)) return state;
  return state.tenth ? typeTenth(state, key) : typeDigit(state, key);
}

/** Goes to one step of the walk, to read it (again). @param {Readings} state @param {number} at @returns {Readings} */
export const goTo = (state, at) => ({ ...state, at, typed: "", last: null, tenth: false });

/** Leaves a step unread. @param {Readings} state @returns {Readings} */
export const skip = (state) => ({ ...state, typed: "", last: null, tenth: false, at: Math.min(state.at + 1, walk(state.spots, state.order).length) });

/** Spots with at least one reading, as the log wants them. @param {Pick<Readings, "spots" | "read">} state */
export function readSpots({ spots, read }) {
  return spots
    .map(({ u, v }) => ({
      u,
      v,
      along_a_n_per_cm: read[keyOf({ u, v }, "along_a")] ?? null,
      across_a_n_per_cm: read[keyOf({ u, v }, "across_a")] ?? null,
    }))
    .filter((spot) => spot.along_a_n_per_cm !== null || spot.across_a_n_per_cm !== null);
}

/** @param {import("../../../shared/types.js").Spot[]} spots @returns {Record<string, number>} */
export function readFrom(spots) {
  /** @type {Record<string, number>} */ const read = {};
  for (const spot of spots) {
    if (spot.along_a_n_per_cm !== null) read[keyOf(spot, "along_a")] = spot.along_a_n_per_cm;
    if (spot.across_a_n_per_cm !== null) read[keyOf(spot, "across_a")] = spot.across_a_n_per_cm;
  }
  return read;
}

/** Lowest, highest and spread over the means of the spots read so far. @param {Readings} state */
export function range(state) {
  const means = readSpots(state).map((spot) => {
    const read = [spot.along_a_n_per_cm, spot.across_a_n_per_cm].filter((one) => one !== null);
    return read.reduce((sum, one) => sum + one, 0) / read.length;
  });
  if (means.length === 0) return null;
  const [low, high] = [Math.min(...means), Math.max(...means)];
  return { low, high, spread: high - low };
}

/**
 * How far a reading lies from its neighbours: those spots that are nearest to it, read in the
 * same direction; where there is none, the other reading of the same spot.
 * @param {Readings} state @param {number} at step of the walk
 * @returns {number | null}
 */
export function offNeighbours(state, at) {
  const step = walk(state.spots, state.order)[at];
  const value = state.read[step?.key];
  if (value === undefined) return null;
  const others = state.spots
    .filter((spot) => spot !== step.spot && keyOf(spot, step.direction) in state.read)
    .map((spot) => ({ far: Math.hypot(spot.u - step.spot.u, spot.v - step.spot.v), value: state.read[keyOf(spot, step.direction)] }));
  const nearest = Math.min(...others.map((other) => other.far));
  const close = others.filter((other) => other.far <= nearest * 1.5 + HAIR).map((other) => other.value);
  const crossing = state.read[keyOf(step.spot, step.direction === "along_a" ? "across_a" : "along_a")];
  if (close.length === 0) return crossing === undefined ? null : Math.abs(value - crossing);
  return Math.abs(value - close.reduce((sum, one) => sum + one, 0) / close.length);
}
