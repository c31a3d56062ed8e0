/**
 * Shapes that pages pass around, as they come over the wire.
 * @typedef {"A" | "B" | "C" | "D"} Side
 * @typedef {"near" | "right" | "far" | "left"} Place
 * @typedef {{face: "squeegee" | "print", near: Side}} View  how the frame lies before the reader
 *
 * @typedef {object} Frame
 * @property {string} id
 * @property {string} code
 * @property {string} [second_name]
 * @property {number} inside_a_mm  lock to lock, along side A
 * @property {number} inside_b_mm  lock to lock, along side B
 * @property {Record<Side, number[]>} bolts  mm along each side from its first corner
 * @property {number} step_48ths  one step of turn, in 48ths of a turn
 * @property {"hex" | "socket"} [head]
 *
 * @typedef {object} Spot
 * @property {number} u  fraction of the inside along A
 * @property {number} v  fraction of the inside away from A
 * @property {number | null} along_a_n_per_cm
 * @property {number | null} across_a_n_per_cm
 *
 * @typedef {{u: number, v: number, dx_mm: number, dy_mm: number}} Mark
 * @typedef {{side: Place, from_mm: number | null, to_mm: number | null}} Clamp
 * @typedef {"along_a" | "across_a"} Direction
 * @typedef {"seized" | "broken"} BoltState
 */

export {};
