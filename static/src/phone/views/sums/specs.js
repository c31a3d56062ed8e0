/**
 * Sums of the screen room: what is asked, how it is worked out, what it is worth.
 *
 * @typedef {import("./measure.js").Measure} Measure
 * @typedef {{frame: any, screen: any, mesh: any}} Ground  what is known of the frame in hand; null where nothing is
 *
 * @typedef {object} Ask
 * @property {string} name @property {string} label @property {Measure} [measure]  a number; without it a choice
 * @property {Record<string, string>} [options] @property {2 | 3} [columns]  3 where not told
 * @property {number} [least] @property {number} [most]  in the sum's own units
 * @property {boolean} [optional] @property {boolean} [whole] @property {boolean} [signed] @property {string} [hint]
 * @property {any} [start] @property {(ground: Ground) => any} [from]
 * @property {(values: any) => boolean} [when]
 *
 * @typedef {[string, number | string, Measure]} Line  a text is shown as it is
 *
 * @typedef {object} Sum
 * @property {string} title @property {string} about
 * @property {boolean} [frame]  can only be worked out for a frame
 * @property {Ask[]} asks
 * @property {(values: any, ground: Ground) => {trouble?: string, said?: string, lines?: any[]}} answer
 * @property {string[]} formula @property {string} limits @property {string} source
 */
import { FRAME_SUMS } from "./specs_frame.js";
import { MESH_SUMS } from "./specs_mesh.js";
import { PRESS_SUMS } from "./specs_press.js";

/** @type {Record<string, Sum>} */
export const SUMS = { ...MESH_SUMS, ...FRAME_SUMS, ...PRESS_SUMS };
