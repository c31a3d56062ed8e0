/**
 * @typedef {import("../entries/types.js").Entry} Entry
 * @typedef {"queued"|"sending"|"waiting"|"held: sign in"|"held: update needed"|"refused"|"stored"}
 *   OutboxState
 * @typedef {{title: string, detail?: string, field?: string, value?: any, remedy?: string}} Problem
 *
 * @typedef {object} OutboxRecord
 * @property {string} id
 * @property {Entry} entry
 * @property {OutboxState} state
 * @property {number} attempts
 * @property {number} bytes of its JSON
 * @property {number} saved_at phone time, ms
 * @property {Problem|null} problem
 * @property {number} rank how often it may itself have been why a batch failed: these go last, so
 *   that one entry the server chokes on does not hold up the rest
 * @property {number} rejections how often our server has turned it down when it came alone
 * @property {[number, number]} [queue] rank and number; absent when it is not to be sent
 * @property {number} [unsent] saved_at until a receipt names it
 * @property {{until: number, by: string}} [lease] who is sending it, and until when
 * @property {number} [seq] the server's number, once stored
 * @property {number} [stored_at] server time, ms
 * @property {number} [stored_here_at] the same by the phone's clock
 * @property {string[]} about
 * @property {string} [target]
 */

/**
 * What an entry is found by: the frame, screen and subject it names, or would name when it
 * corrects another, and apart from these the entry it voids or corrects.
 *
 * @param {Entry} entry
 * @returns {{about: string[], target?: string}}
 */
export function found(entry) {
  const { payload = {} } = entry;
  const put = entry.kind === "correction" ? payload : {};
  const about = [entry.frame, entry.screen, entry.subject?.id, put.frame, put.screen];
  const target = payload.corrects ?? payload.voids;
  const named = [...new Set(about.filter((id) => typeof id === "string"))];
  return typeof target === "string" ? { about: named, target } : { about: named };
}

/**
 * @param {Entry} entry
 * @param {number} bytes
 * @param {number} now
 * @returns {OutboxRecord}
 */
export const queued = (entry, bytes, now) => ({
  id: entry.id, entry, state: "queued", attempts: 0, rank: 0, rejections: 0, bytes, saved_at: now,
  problem: null,  queue: [0, entry.device_seq], unsent: now, ...found(entry),
});

/**
 * @param {OutboxRecord} record
 * @param {Partial<OutboxRecord>} how what is different from now on
 * @returns {OutboxRecord} to be sent (again)
 */
export function toSend({ lease: _, ...record }, how) {
  const next = { ...record, ...how };
  return { ...next, queue: [next.rank, record.entry.device_seq], unsent: record.saved_at };
}

/**
 * @param {OutboxRecord} record
 * @param {{until: number, by: string}} lease
 * @returns {OutboxRecord}
 */
export function leased(record, lease) {
  const { queue: _, ...rest } = record;
  return { ...rest, state: "sending", lease };
}

/**
 * @param {OutboxRecord} record
 * @param {number|undefined} seq
 * @param {import("./queue.js").Times} at
 * @returns {OutboxRecord}
 */
export function stored(record, seq, at) {
  const { queue: _q, unsent: _u, lease: _l, ...rest } = record;
  return { ...rest, state: "stored", problem: null, seq, stored_at: at.server, stored_here_at: at.phone };
}

/**
 * @param {OutboxRecord} record
 * @param {Problem} problem
 * @returns {OutboxRecord}
 */
export function refused(record, problem) {
  const { queue: _q, unsent: _u, lease: _l, ...rest } = record;
  return { ...rest, state: "refused", problem };
}
