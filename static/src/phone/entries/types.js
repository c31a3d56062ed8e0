/**
 * Shapes that travel: what the phone keeps and what goes over the wire.
 *
 * @typedef {{kind: "job"|"press"|"meter", id: string}} Subject
 *
 * @typedef {object} Entry one line of the log, exactly as it is sent
 * @property {string} id UUIDv7, made when the form opens
 * @property {string} install_id
 * @property {number} device_seq 1, 2, 3 … per install: gaps show losses
 * @property {string} kind
 * @property {number} v
 * @property {string} occurred_at phone wall time with zone offset
 * @property {number} clock_offset_ms server time minus phone time, 0 when never learnt
 * @property {number|null} clock_offset_age_ms
 * @property {number} mono_ms milliseconds since the app was opened; never runs back
 * @property {number} base_seq last feed position this phone had seen
 * @property {string|null} operator
 * @property {string|null} frame
 * @property {string|null} screen
 * @property {Subject|null} subject
 * @property {string|null} scanned the raw text of the label
 * @property {string} app
 * @property {Record<string, any>} payload
 *
 * @typedef {Entry & {seq?: number, received_at?: string, flags?: string[]}} HeldEntry an entry
 *   with what the server said about it
 *
 * @typedef {object} Draft what a form fills in; the store adds the rest when it is saved
 * @property {string} id
 * @property {string} kind
 * @property {string|null} operator
 * @property {string|null} frame
 * @property {string|null} screen
 * @property {Subject|null} subject
 * @property {string|null} scanned
 * @property {Record<string, any>} payload
 * @property {string} [occurred_at] only when it happened at another time than the tap on Save
 *
 * @typedef {object} Clock
 * @property {() => number} now phone wall time, ms since 1970
 * @property {() => number} mono ms, never runs back
 * @property {(ms: number) => number} zone minutes east of UTC at that time
 * @property {(ms: number, run: () => void) => (() => void)} after runs later; returns how to stop it
 */
export {};
