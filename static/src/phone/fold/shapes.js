/**
 * Which payload could stand in an entry of which kind: the phone's twin of the server's rules.
 * An entry or correction whose payload does not fit counts for nothing, there and here.
 *
 * @typedef {(x: any) => boolean} Fits
 */

/** @param {number} low @param {number} high @returns {Fits} */
const number = (low, high) => (x) => typeof x === "number" && x >= low && x <= high;
/** @param {number} high @returns {Fits} */
const above0 = (high) => (x) => typeof x === "number" && x > 0 && x <= high;
/** @param {number} low @param {number} high @returns {Fits} */
const whole = (low, high) => (x) => Number.isInteger(x) && x >= low && x <= high;
/** @param {number} longest @param {number} [least] @returns {Fits} */
const text = (longest, least = 0) => (x) =>
  typeof x === "string" && [...x].length >= least && [...x].length <= longest;
/** @param {string[]} words @returns {Fits} */
const choice = (...words) => (x) => words.includes(x);
/** @param {RegExp} pattern @returns {Fits} */
const like = (pattern) => (x) => typeof x === "string" && pattern.test(x);
/** @param {Fits} fits @returns {Fits} */
const orNull = (fits) => (x) => x === null || fits(x);
/** @param {Fits} fits @returns {Fits} */
const maybe = (fits) => (x) => x === undefined || fits(x);
/** @param {Fits} fits @returns {Fits} */
const open = (fits) => maybe(orNull(fits));
/** @param {Fits} fits @param {number} [least] @returns {Fits} */
const list = (fits, least = 0) => (x) => Array.isArray(x) && x.length >= least && x.every(fits);
/** @param {Record<string, Fits>} fields @returns {Fits} */
const shape = (fields) => (x) => isObject(x) && Object.entries(fields).every(([k, f]) => f(x[k]));
/** @type {Fits} */
const isObject = (x) => typeof x === "object" && x !== null && !Array.isArray(x);
/** @type {Fits} */
const yesNo = (x) => typeof x === "boolean";

const uuid = like(/^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/);
const time = like(/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}(Z|[+-]\d\d:\d\d)$/);
const bolt = like(/^[ABCD][1-9][0-9]?$/);
const tension = above0(150);
const fraction = number(0, 1);
const travel = number(-50, 50);
const count = whole(0, 100_000_000);
const station = whole(1, 99);
const note = text(2000);
const cause = choice("sheet", "mesh", "press", "lays", "film", "unknown");
const view = { face: choice("squeegee", "print"), near: choice("A", "B", "C", "D") };
const turned = shape({ bolt, turn_48ths: whole(-480, 480) });
const target = { target_n_per_cm: tension, tolerance_n_per_cm: above0(50) };
const marks = list(shape({ u: fraction, v: fraction, dx_mm: travel, dy_mm: travel }));
const readings = shape({
  u: fraction, v: fraction, along_a_n_per_cm: open(tension), across_a_n_per_cm: open(tension),
});
/** @type {Fits} */
const spot = (x) => readings(x) && (x.along_a_n_per_cm ?? x.across_a_n_per_cm ?? null) !== null;
const noted = shape({ note });
const purpose = choice("stretch", "retension", "register", "even_up");
const piece = number(50, 8000);
const foretold = number(-150, 300);
const band = shape({ value: foretold, low: foretold, high: foretold });
const foretoldSpot = shape({ u: fraction, v: fraction, along_a: open(band), across_a: open(band) });
const source = shape({ seq: whole(0, 2 ** 53 - 1), digest: text(64, 1) });

/** @type {Record<string, Fits>} */
const SHAPES = {
  mesh_fitted: shape({
    mesh: uuid, warp: choice("x", "y", "unknown"), ...target, second_hand: maybe(yesNo),
  }),
  target_set: shape(target),
  tension_check: shape({
    meter: open(uuid), ...view, stencil: choice("bare", "coated"), spots: list(spot, 1),
  }),
  turn_plan: shape({
    purpose, after: open(uuid), estimate: open(source), ...view, bolts: list(turned, 1),
    predicted: maybe(list(foretoldSpot)), predicted_marks: maybe(marks), status: text(20, 1),
    rounds_left: open(whole(0, 99)), limits: maybe(list(text(300))), override: open(text(500, 1)),
  }),
  bolt_turns: shape({
    purpose, ...view, bolts: list(turned, 1), plan: open(uuid),
  }),
  register_tweak: shape({
    ...view, bolts: list(turned), seen: choice("long_short", "one_corner", "all_one_way", "skipped"),
    cause: open(cause), marks, off_contact_mm: open(number(0, 100)), job: open(uuid),
    colour: open(uuid), press: open(uuid), station: open(station), plan: open(uuid),
  }),
  after_marks: shape({
    tweak: uuid, marks, verdict: open(choice("in_register", "better", "no_change", "worse")),
  }),
  cause_found: shape({ tweak: uuid, cause }),
  nipped_up: shape({ bolts: list(turned) }),
  bolt_state: shape({ bolt, state: choice("seized", "broken", "freed") }),
  coated: noted, washed: noted, reclaimed: noted, mesh_removed: noted, note: noted,
  exposed: shape({ job: uuid, colour: uuid }),
  inspected: shape({ passed: yesNo, note: maybe(note) }),
  burst: shape({
    where: choice("middle", "edge", "corner", "at_lock", "unknown"), u: open(fraction),
    v: open(fraction), impressions: open(count), note: maybe(note),
  }),
  moved: shape({
    to: choice("rack", "press", "repair", "lost", "scrapped"), rack: open(text(60)),
    press: open(uuid), station: open(station),
  }),
  impressions: shape({ mode: choice("counter", "added"), count, job: open(uuid), colour: open(uuid) }),
  ok_sheet: shape({ signed: yesNo, colours: list(uuid, 1), press: open(uuid), note: maybe(note) }),
  stretch_step: shape({
    step: choice("inspected", "lock", "piece", "pre_bow", "locked", "corners", "rested"), ...view,
    passed: maybe(yesNo), rock_mm: open(number(0, 50)), mesh: open(uuid), rods: open(text(80)),
    piece_a_mm: open(piece), piece_b_mm: open(piece), warp: open(choice("x", "y", "unknown")),
    bolts: maybe(list(turned)), sides: maybe(list(view.near)), minutes: open(whole(0, 20160)),
    note: maybe(note),
  }),
  stand_out: shape({ bolts: list(shape({ bolt, stand_out_mm: number(-20, 100) })) }),
  meter_zeroed: shape({ zero_n_per_cm: travel, note: maybe(note) }),
  correction: shape({
    corrects: uuid, frame: orNull(uuid), screen: orNull(uuid), occurred_at: time, payload: isObject,
  }),
  void: shape({ voids: uuid, reason: note }),
};

/**
 * @param {string} kind
 * @param {unknown} payload
 * @returns {boolean} false also for a kind that this app does not know
 */
export const fits = (kind, payload) => Object.hasOwn(SHAPES, kind) && SHAPES[kind](payload);
