const STALE_MS = 600_000;
const LONGEST_TRIP_MS = 10_000;
const SLACK_MS = 500;

/**
 * @typedef {import("./call.js").Moment} Moment
 * @typedef {{offset_ms: number, rtt_ms: number, at: number}} Learnt
 */

/**
 * What one exchange tells about the phone's clock: the server's word is taken to be from the
 * middle of the round trip, so it is off by half of that at most.
 *
 * @param {string} serverTime
 * @param {Moment} sent
 * @param {Moment} got
 * @returns {Learnt|null} null when the exchange tells nothing
 */
export function measured(serverTime, sent, got) {
  const server = Date.parse(serverTime);
  const rtt_ms = got.mono - sent.mono;
  const setMeanwhile = Math.abs(got.wall - sent.wall - rtt_ms) > SLACK_MS;
  if (!Number.isFinite(server) || rtt_ms < 0 || rtt_ms > LONGEST_TRIP_MS || setMeanwhile) return null;
  return { offset_ms: server - (sent.wall + got.wall) / 2, rtt_ms, at: got.wall };
}

/**
 * @param {Learnt|undefined} before
 * @param {Learnt} now
 * @returns {Learnt} the quicker exchange knows better, unless it is old or the clock was set since
 */
export function better(before, now) {
  if (!before) return now;
  const age = now.at - before.at;
  const apart = Math.abs(now.offset_ms - before.offset_ms);
  const set = apart > (now.rtt_ms + before.rtt_ms) / 2 + SLACK_MS;
  return set || age < 0 || age > STALE_MS || now.rtt_ms <= before.rtt_ms ? now : before;
}
