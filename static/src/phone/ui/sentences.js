/** One line of the log told to a reader: what was seen or done. The row holds facts, this tells them. */
import { decimal, low, n, t } from "../../shared/language.js";
import { boltsText } from "../../shared/turns.js";
import { countText, distanceText, tensionText } from "../../shared/units.js";
import { BOLT_IS, BURST_WHERE, CAUSE, MOVED_TO, PURPOSE, SEEN, STENCIL, STRETCH_STEP, VERDICT, WARP } from "../../shared/words.js";
import { label } from "../entries/index.js";

/** Means of the spots of a check, as N/cm. @param {any[]} spots */
function means(spots) {
  return spots.map((spot) => {
    const read = [spot.along_a_n_per_cm, spot.across_a_n_per_cm].filter((value) => typeof value === "number");
    return read.reduce((sum, value) => sum + value, 0) / read.length;
  });
}

/** @param {any} payload */
function checkText({ spots, stencil }) {
  const all = means(spots);
  const [least, most] = [Math.min(...all), Math.max(...all)].map(tensionText);
  const range = least === most ? least : t`${least} to ${most}`;
  return `${range} N/cm, ${n(spots.length)`one spot|# spots`}, ${/** @type {any} */ (STENCIL)[stencil]}`;
}

const station = (/** @type {any} */ payload, /** @type {any} */ things) =>
  [things.name("press", payload.press), payload.station && t`station ${payload.station}`].filter(Boolean).join(", ");

const onJob = (/** @type {any} */ payload, /** @type {any} */ things) =>
  [things.name("job", payload.job), things.name("colour", payload.colour)].filter(Boolean).join(", ");

/** @type {Record<string, (payload: any, things: any, step: number) => string>} */
const TOLD = {
  mesh_fitted: (p, things) => t`${things.name("mesh", p.mesh) || t`mesh`}, target ${tensionText(p.target_n_per_cm)} N/cm, warp ${low(/** @type {any} */ (WARP)[p.warp])}`,
  target_set: (p) => `${tensionText(p.target_n_per_cm)} ± ${tensionText(p.tolerance_n_per_cm)} N/cm`,
  tension_check: checkText,
  turn_plan: (p, _, step) => `${low(/** @type {any} */ (PURPOSE)[p.purpose])}: ${boltsText(p.bolts, step)}`,
  bolt_turns: (p, _, step) => `${/** @type {any} */ (PURPOSE)[p.purpose]}: ${boltsText(p.bolts, step)}`,
  register_tweak: (p, things, step) => [boltsText(p.bolts, step) || t`no bolt`, p.seen === "skipped" ? "" : low(/** @type {any} */ (SEEN)[p.seen]), onJob(p, things)].filter(Boolean).join(" · "),
  after_marks: (p) => low(/** @type {any} */ (VERDICT)[p.verdict]) || n(p.marks.length)`# mark|# marks`,
  cause_found: (p) => low(/** @type {any} */ (CAUSE)[p.cause]),
  nipped_up: (p, _, step) => boltsText(p.bolts, step),
  bolt_state: (p) => `${p.bolt} ${BOLT_IS[p.state]}`,
  exposed: (p, things) => onJob(p, things),
  inspected: (p) => [p.passed ? t`passed` : t`not passed`, p.note].filter(Boolean).join(" · "),
  burst: (p) => [low(/** @type {any} */ (BURST_WHERE)[p.where]), p.impressions === null || p.impressions === undefined ? "" : t`at ${countText(p.impressions)}`, p.note].filter(Boolean).join(" · "),
  moved: (p, things) => [low(/** @type {any} */ (MOVED_TO)[p.to]), p.rack, station(p, things)].filter(Boolean).join(" · "),
  impressions: (p) => (p.mode === "added" ? t`${countText(p.count)} more` : t`${countText(p.count)} on the counter`),
  ok_sheet: (p, things) => [p.signed ? t`signed` : t`not accepted`, p.colours.map((/** @type {string} */ id) => things.name("colour", id)).filter(Boolean).join(", "), p.note].filter(Boolean).join(" · "),
  stretch_step: (p, things) => [
    /** @type {any} */ (STRETCH_STEP)[p.step], p.passed === false && t`not fit for use`,
    Number.isFinite(p.rock_mm) && t`rocks ${distanceText(p.rock_mm, things.shop.length_unit)}`, p.rods,
    p.piece_a_mm && p.piece_b_mm && [p.piece_a_mm, p.piece_b_mm].map((mm) => distanceText(mm, things.shop.length_unit)).join(" × "), p.sides?.length && t`sides ${p.sides.join(", ")}`,
    Number.isFinite(p.minutes) && `${p.minutes} min`, p.note,
  ].filter(Boolean).join(" · "),
  stand_out: (p) => p.bolts.map((/** @type {any} */ one) => `${one.bolt} ${decimal(one.stand_out_mm)} mm`).join(" · "),
  meter_zeroed: (p) => (p.zero_n_per_cm === 0 ? t`showed 0 on its glass` : t`showed ${tensionText(p.zero_n_per_cm)} on its glass`),
};

/** @param {any} entry @param {any} things @param {number} step 48ths @returns {{what: string, told: string}} */
export function tellEntry(entry, things, step) {
  const tell = Object.hasOwn(TOLD, entry.kind) ? TOLD[entry.kind] : (/** @type {any} */ payload) => payload.note;
  /** @type {unknown} */
  let told = "";
  try {
    told = tell(entry.payload, things, step);
  } catch {
    // A payload of a newer version: the kind alone is told.
  }
  return { what: label(entry.was ?? entry.kind), told: typeof told === "string" ? told : "" };
}

/** Turns that are still in, told bolt by bolt. @param {Record<string, number>} turns @param {number} step */
export function turnsText(turns, step) {
  const bolts = Object.entries(turns).map(([bolt, turn_48ths]) => ({ bolt, turn_48ths }));
  return boltsText(bolts, step);
}


/**
 * Tweaks that still want their after marks, each told so that it is known from its neighbours.
 * @param {any[]} views frames as cards show them @param {any} things
 * @returns {{id: string, code: string, at: string | null, told: string}[]}
 */
export const openTweaks = (views, things) =>
  views.flatMap(({ thing, screen, entries }) =>
    screen.tweaks.open.map((/** @type {string} */ id) => {
      const entry = entries.find((/** @type {any} */ one) => one.id === id);
      return { id, code: thing.code, at: entry?.occurred_at ?? null, told: entry ? tellEntry(entry, things, thing.step_48ths).told : "" };
    }));
