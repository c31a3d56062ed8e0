const DAY_MS = 86_400_000;
const SPOTS_FOR_UNEVEN = 5;

/**
 * @typedef {"holding"|"low"|"high"|"uneven"|"resting"|"due"|"unknown"} Word
 * @typedef {{word: Word, reason: string}} Condition
 * @typedef {{spread_limit_n_per_cm: number, recent_days: number}} Limits the shop's
 */

/** One decimal at most, halves up. @param {number} x */
const shown = (x) => String(Math.floor(x * 10 + 0.5) / 10);

/**
 * What a screen's log says about it now; never stored, since the clock is part of it.
 *
 * @param {Pick<import("./state.js").ScreenState,
 *   "last_check"|"target_n_per_cm"|"tolerance_n_per_cm">|null} screen
 * @param {Limits} shop
 * @param {number} nowMs
 * @returns {Condition}
 */
export function condition(screen, shop, nowMs) {
  const check = screen?.last_check;
  if (!screen || !check) return { word: "unknown", reason: "There is no tension check yet." };
  const days = shop.recent_days;
  if (nowMs - Date.parse(check.at) > days * DAY_MS) {
    const limit = days === 1 ? "1 day" : `${days} days`;
    return { word: "unknown", reason: `The last tension check is more than ${limit} old.` };
  }
  return byReadings(check, screen, shop.spread_limit_n_per_cm);
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
    return { word: "low", reason: `The lowest spot reads ${shown(low)}; wanted is ${wanted}.` };
  }
  if (high > target + tolerance) {
    return { word: "high", reason: `The highest spot reads ${shown(high)}; wanted is ${wanted}.` };
  }
  if (spread > limit && spots.length >= SPOTS_FOR_UNEVEN) {
    const reason = `Spots differ by ${shown(spread)} N/cm; the limit is ${shown(limit)}.`;
    return { word: "uneven", reason };
  }
  return { word: "holding", reason: `All spots read within ${wanted}.` };
}
