import { backoff } from "./backoff.js";

const POLL_MS = 60_000;
const HELD_MS = 300_000;
const BUSY_MS = 5_000;

/**
 * @typedef {import("./verdict.js").Outcome} Outcome
 * @typedef {Partial<import("./status.js").Status>} News
 */

/**
 * Decides when to try next and what to tell meanwhile.
 *
 * @param {{clock: import("../entries/types.js").Clock, random: () => number,
 *   tell: (news: News) => void, wake: () => void}} means
 */
export function planner({ clock, random, tell, wake }) {
  let failures = 0;
  let quietUntil = 0;
  let stop = () => {};

  /** @param {number} ms */
  function later(ms) {
    stop();
    stop = clock.after(ms, wake);
    tell({ next_try_at: clock.now() + ms });
  }

  return {
    /** @param {Outcome|"busy"} outcome busy: another tab is at it */
    after(outcome) {
      if (outcome === "busy") return later(BUSY_MS);
      quietUntil = 0;
      if (outcome.state === "waiting") {
        const { why, wait_ms } = outcome;
        failures += 1;
        quietUntil = clock.mono() + wait_ms;
        tell({ state: "waiting", why, held_reason: null });
        return later(Math.max(backoff(failures, random), wait_ms));
      }
      failures = 0;
      if (outcome.state === "held") {
        tell({ state: "held", held_reason: outcome.reason, why: outcome.detail });
        return later(HELD_MS);
      }
      tell({ state: "idle", held_reason: null, why: null });
      return later(POLL_MS * (0.75 + random() / 2));
    },
    forgetFailures() {
      failures = 0;
    },
    /** True while a server that asked for quiet should have it. */
    quiet: () => clock.mono() < quietUntil,
    stop: () => stop(),
  };
}
