/** The frame as it lies in front of the reader: which face is up, which side is near. */
import { t } from "../../../shared/language.js";
import { oneOf } from "./faults.js";
import { SIDES } from "./layout.js";

/**
 * @typedef {import("./layout.js").Place} Place
 * @typedef {[[number, number], [number, number], [number, number]]} Turn  rows of the matrix from (u, v), then the offset
 */

/** From (u, v) to right and away from the reader, by face and near side. @type {Record<string, Record<string, Turn>>} */
const TURNS = {
  squeegee: {
    A: [[1, 0], [0, 1], [0, 0]],
    B: [[0, 1], [-1, 0], [0, 1]],
    C: [[-1, 0], [0, -1], [1, 1]],
    D: [[0, -1], [1, 0], [1, 0]],
  },
  print: {
    A: [[-1, 0], [0, 1], [1, 0]],
    B: [[0, -1], [-1, 0], [1, 1]],
    C: [[1, 0], [0, -1], [0, 1]],
    D: [[0, 1], [1, 0], [0, 0]],
  },
};

export class View {
  /** @param {string} face @param {string} near */
  constructor(face, near) {
    this.face = oneOf("face", face, ["squeegee", "print"], t`Say which face is up`);
    this.near = oneOf("near", near, /** @type {string[]} */ (SIDES), t`Say which side is near`);
    this.turn = TURNS[face][near];
  }

  /** Fractions to the right and away from the reader. @param {Place} place @returns {Place} */
  seen([u, v]) {
    const [right, away, offset] = this.turn;
    return [right[0] * u + right[1] * v + offset[0], away[0] * u + away[1] * v + offset[1]];
  }

  /** Place in frame fractions of what the reader sees. @param {Place} seen @returns {Place} */
  place([right, away]) {
    return this.direction(right - this.turn[2][0], away - this.turn[2][1]);
  }

  /** A direction the reader sees, in frame axes. @param {number} right @param {number} away @returns {Place} */
  direction(right, away) {
    const [one, two] = this.turn;
    return [right * one[0] + away * two[0], right * one[1] + away * two[1]];
  }
}

/** mm from the middle of the frame. @param {import("./layout.js").Layout} layout @param {Place} place */
export const centredMm = (layout, [u, v]) => [(u - 0.5) * layout.insideA, (v - 0.5) * layout.insideB];
