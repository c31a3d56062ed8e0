import { decimal, n, t } from "../../shared/language.js";
import { readings, spotMean } from "./checks.js";

const HOUR_MS = 3_600_000;
const DAY_MS = 86_400_000;
const LOOK_AHEAD_DAYS = 7;
const SPOTS_FOR_UNEVEN = 5;
const THIRD = 1 / 3;

/** @typedef {import("./checks.js").Spot} Spot */

/**
 * @typedef {"holding"|"low"|"high"|"uneven"|"resting"|"due"|"unknown"} Word
 * @typedef {{word: Word, reason: string}} Condition
 * @typedef {{spread_limit_n_per_cm: number, recent_days: number, look_ahead_days?: number}} Limits the shop's
 * @typedef {{at: string|null, early: string|null, late: string|null, reason: string}} When
 * @typedef {object} Forecast the body of the feed's kind "forecast"
 * @property {string|null} after the check it ends with
 * @property {string} turned_at
 * @property {number} rest_limit_n_per_cm
 * @property {When} resting_until
 * @property {When} in_tolerance_until
 */

/** One decimal at most, halves up and as meters show them: "20.3", "21½". @param {number} x */
function shown(x) {
  const tenths = Math.floor(x * 10 + 0.5) / 10;
  const whole = Math.trunc(tenths);
  return tenths - whole === 0.5 ? `${whole || ""}½` : decimal(tenths);
}

/** What a spot read; no cell of the drawing shows a mean, so one is called so. @param {Spot} spot @param {number} mean */
function read(spot, mean) {
  const value = shown(mean);
  return new Set(readings(spot)).size > 1 ? t`${value} (mean of both ways)` : value;
}

/** Which of several spots, by the sides next to it: they are the same for every reader. @param {Spot[]} spots @param {Spot} spot */
function where(spots, { u, v }) {
  if (spots.length === 1) return "";
  const along = v < THIRD ? "A" : v > 1 - THIRD ? "C" : "";
  const across = u < THIRD ? "D" : u > 1 - THIRD ? "B" : "";
  if (along && across) return t`by ${along} and ${across}`;
  return along || across ? t`by ${along || across}` : t`in the middle`;
}

/**
 * What a screen's log says about it now; never stored, since the clock is part of it.
 *
 * @param {Pick<import("./state.js").ScreenState,
 *   "last_check"|"target_n_per_cm"|"tolerance_n_per_cm">|null} screen
 * @param {Limits} shop
 * @param {number} nowMs
 * @param {Forecast|null} [forecast] one that does not know the last check counts for nothing
 * @returns {Condition}
 */
export function condition(screen, shop, nowMs, forecast) {
  const check = screen?.last_check;
  if (!screen || !check) return { word: "unknown", reason: t`There is no tension check yet.` };
  const days = shop.recent_days;
  if (nowMs - Date.parse(check.at) > days * DAY_MS) {
    return { word: "unknown", reason: n(days)`The last tension check is more than # day old.|The last tension check is more than # days old.` };
  }
  const said = byReadings(check, screen, shop.spread_limit_n_per_cm);
  if (said.word !== "holding" || !forecast || !knows(forecast, check)) return said;
  return byForecast(forecast, shop.look_ahead_days ?? LOOK_AHEAD_DAYS, nowMs) ?? said;
}

/**
 * Whether a forecast was made with the last check, or with turns after it.
 * @param {Forecast} forecast @param {{id: string, at: string}} check
 */
export const knows = ({ after, turned_at }, check) =>
  after === null ? Date.parse(check.at) < Date.parse(turned_at) : after === check.id;

/**
 * @param {Forecast} forecast @param {number} lookAheadDays @param {number} nowMs
 * @returns {Condition|null}
 */
function byForecast({ resting_until, in_tolerance_until, rest_limit_n_per_cm }, lookAheadDays, nowMs) {
  const left = resting_until.at ? Date.parse(resting_until.at) - nowMs : 0;
  if (left > 0) {
    const reason = t`It still loses more than ${shown(rest_limit_n_per_cm)} N/cm a day, for about ${Math.ceil(left / HOUR_MS)} h.`;
    return { word: "resting", reason };
  }
  const leaves = in_tolerance_until.at ? Date.parse(in_tolerance_until.at) - nowMs : Infinity;
  if (leaves > lookAheadDays * DAY_MS) return null;
  const days = Math.floor(leaves / DAY_MS);
  const reason = days > 0
    ? n(days)`Forecast to leave its tolerance in about # day.|Forecast to leave its tolerance in about # days.`
    : t`Forecast to leave its tolerance within a day.`;
  return { word: "due", reason };
}

/**
 * @param {import("./checks.js").Check} check
 * @param {{target_n_per_cm: number, tolerance_n_per_cm: number}} screen
 * @param {number} limit of spread
 * @returns {Condition}
 */
function byReadings({ low, high, spread, spots }, screen, limit) {
  const { target_n_per_cm: target, tolerance_n_per_cm: tolerance } = screen;
  const wanted = `${shown(target)} ± ${shown(tolerance)} N/cm`;
  if (low < target - tolerance) {
    const spot = spots.reduce((least, one) => (spotMean(one) < spotMean(least) ? one : least));
    const [at, value] = [where(spots, spot), read(spot, low)];
    return { word: "low", reason: at ? t`Lowest ${at}: ${value}; wanted is ${wanted}.` : t`The lowest spot reads ${value}; wanted is ${wanted}.` };
  }
  if (high > target + tolerance) {
    const spot = spots.reduce((most, one) => (spotMean(one) > spotMean(most) ? one : most));
    const [at, value] = [where(spots, spot), read(spot, high)];
    return { word: "high", reason: at ? t`Highest ${at}: ${value}; wanted is ${wanted}.` : t`The highest spot reads ${value}; wanted is ${wanted}.` };
  }
  if (spread > limit && spots.length >= SPOTS_FOR_UNEVEN) {
    const reason = t`Spots differ by ${shown(spread)} N/cm; the limit is ${shown(limit)}.`;
    return { word: "uneven", reason };
  }
  return { word: "holding", reason: t`All spots read within ${wanted}.` };
}
