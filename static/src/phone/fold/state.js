/**
 * @typedef {import("./checks.js").Check} Check
 * @typedef {import("../entries/types.js").HeldEntry} HeldEntry
 * @typedef {{at: string, kind: string}} Last
 *
 * @typedef {object} FrameState outlives its meshes
 * @property {string} frame
 * @property {{to: string, rack: string|null, press: string|null, station: number|null,
 *   since: string}|null} place
 * @property {Record<string, "seized"|"broken">} bolts
 * @property {string|null} screen the mesh on it now
 * @property {boolean} awaiting_removal burst mesh still on
 * @property {Last|null} last
 *
 * @typedef {object} Tweak
 * @property {string} id
 * @property {string} at
 * @property {string} seen
 * @property {string|null} cause
 * @property {{bolt: string, turn_48ths: number}[]} bolts
 * @property {string|null} verdict
 * @property {string|null} job
 * @property {string|null} colour
 * @property {string|null} press
 * @property {number|null} station
 *
 * @typedef {object} ScreenState
 * @property {string} screen
 * @property {string} frame
 * @property {string} mesh
 * @property {"x"|"y"|"unknown"} warp
 * @property {number} target_n_per_cm
 * @property {number} tolerance_n_per_cm
 * @property {string} fitted_at
 * @property {"bare"|"coated"|"exposed"|"inspected"} stencil
 * @property {string|null} job
 * @property {string|null} colour
 * @property {{bare: Check|null, coated: Check|null}} checks
 * @property {Check|null} last_check
 * @property {Record<string, number>} turns 48ths in all
 * @property {Record<string, number>} register_turns 48ths put in for register, still in
 * @property {number} retensions
 * @property {number} reclaims
 * @property {number} impressions
 * @property {{count: number, open: string[], last: Tweak|null}} tweaks
 * @property {boolean} trusted
 * @property {{how: "burst"|"removed"|"replaced"|"scrapped", at: string}|null} ended
 * @property {Last} last
 *
 * @typedef {{frames: Record<string, FrameState>, screens: Record<string, ScreenState>,
 *   meters: Record<string, any>, waiting: Record<string, Record<string, HeldEntry[]>>}} State
 *   `waiting` has, by frame and screen, the entries that name a screen not begun yet
 */

/** @returns {State} */
export const nothing = () => ({ frames: {}, screens: {}, meters: {}, waiting: {} });

/** @param {string} frame @returns {FrameState} */
export const newFrame = (frame) => ({
  frame, place: null, bolts: {}, screen: null, awaiting_removal: false, last: null,
});

/**
 * @param {HeldEntry} entry a mesh-fitted one
 * @param {string} frame
 * @param {string} at
 * @returns {ScreenState}
 */
export const newScreen = ({ id, payload, kind }, frame, at) => ({
  screen: id, frame, mesh: payload.mesh, warp: payload.warp,
  target_n_per_cm: payload.target_n_per_cm, tolerance_n_per_cm: payload.tolerance_n_per_cm,
  fitted_at: at, stencil: "bare", job: null, colour: null, checks: { bare: null, coated: null },
  last_check: null, turns: {}, register_turns: {}, retensions: 0, reclaims: 0, impressions: 0,
  tweaks: { count: 0, open: [], last: null }, trusted: !payload.second_hand, ended: null, last: { at, kind },
});
