import { summary } from "./checks.js";

/**
 * @typedef {import("../entries/types.js").HeldEntry} HeldEntry
 * @typedef {import("./state.js").ScreenState} ScreenState
 * @typedef {(screen: ScreenState, entry: HeldEntry, at: string) => void} OnScreen
 * @typedef {{bolt: string, turn_48ths: number}[]} Bolts
 */

/** @param {Record<string, number>} sums @param {Bolts} bolts */
function add(sums, bolts) {
  for (const { bolt, turn_48ths } of bolts) sums[bolt] = (sums[bolt] ?? 0) + turn_48ths;
}

/** A bolt that is back where it was is left out. @param {ScreenState} screen @param {Bolts} bolts */
function addForRegister({ register_turns }, bolts) {
  add(register_turns, bolts);
  for (const { bolt } of bolts) if (!register_turns[bolt]) delete register_turns[bolt];
}

/** @type {OnScreen} */
function boltTurns(screen, { payload }) {
  add(screen.turns, payload.bolts);
  if (["register", "even_up"].includes(payload.purpose)) addForRegister(screen, payload.bolts);
  if (payload.purpose === "retension") screen.retensions += 1;
}

/** @type {OnScreen} */
function registerTweak(screen, { id, payload }, at) {
  add(screen.turns, payload.bolts);
  addForRegister(screen, payload.bolts);
  const { seen, cause, bolts, job, colour, press, station } = payload;
  const { tweaks } = screen;
  tweaks.count += 1;
  tweaks.open.push(id);
  tweaks.last = {
    id, at, seen, cause: cause ?? null, bolts, verdict: null, job: job ?? null,
    colour: colour ?? null, press: press ?? null, station: station ?? null,
  };
}

/**
 * @param {ScreenState["tweaks"]} tweaks
 * @param {string} id
 * @param {Partial<import("./state.js").Tweak>} found
 */
function amendLast(tweaks, id, found) {
  if (tweaks.last?.id === id) tweaks.last = { ...tweaks.last, ...found };
}

/** @type {OnScreen} */
function afterMarks({ tweaks }, { payload }) {
  tweaks.open = tweaks.open.filter((id) => id !== payload.tweak);
  amendLast(tweaks, payload.tweak, { verdict: payload.verdict ?? null });
}

/** @type {OnScreen} */
function tensionCheck(screen, entry, at) {
  const check = summary(entry, at);
  screen.checks[/** @type {"bare"|"coated"} */ (check.stencil)] = check;
  screen.last_check = check;
}

/** @type {OnScreen} */
function reclaimed(screen) {
  Object.assign(screen, { stencil: "bare", job: null, colour: null });
  screen.reclaims += 1;
}

/** @type {OnScreen} */
function impressions(screen, { payload }) {
  screen.impressions = payload.mode === "counter"
    ? Math.max(screen.impressions, payload.count) : screen.impressions + payload.count;
}

/** What each kind does to the screen it is about. @type {Record<string, OnScreen>} */
export const onScreen = {
  target_set: (screen, { payload }) => {
    screen.target_n_per_cm = payload.target_n_per_cm;
    screen.tolerance_n_per_cm = payload.tolerance_n_per_cm;
  },
  tension_check: tensionCheck,
  bolt_turns: boltTurns,
  register_tweak: registerTweak,
  after_marks: afterMarks,
  cause_found: ({ tweaks }, { payload }) =>
    amendLast(tweaks, payload.tweak, { cause: payload.cause }),
  nipped_up: (screen, { payload }) => add(screen.turns, payload.bolts),
  coated: (screen) => { screen.stencil = "coated"; },
  // A new stencil: its impressions are counted from 0.
  exposed: (screen, { payload }) => {
    const { job, colour } = payload;
    Object.assign(screen, { stencil: "exposed", job, colour, impressions: 0 });
  },
  inspected: (screen, { payload }) => { if (payload.passed) screen.stencil = "inspected"; },
  reclaimed,
  impressions,
  stand_out: (screen) => { screen.trusted = true; },
};
