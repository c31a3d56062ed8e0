/**
 * Where everything goes on the drawing, in CSS pixels. Pure, so that the same numbers serve
 * screen, label and print, and can be tested without a page.
 *
 * @typedef {import("../types.js").Frame} Frame
 * @typedef {import("../types.js").View} View
 * @typedef {import("../types.js").Side} Side
 * @typedef {import("../types.js").Place} Place
 * @typedef {{x: number, y: number, w: number, h: number}} Box
 * @typedef {{name: string, side: Side, place: Place, number: number, x: number, y: number,
 *   hit: Box}} Bolt
 * @typedef {{side: Side, place: Place, x: number, y: number, folded: boolean, hit: Box}} SideMark
 * @typedef {{outer: Box, inner: Box, band: number, touch: boolean}} Room
 * @typedef {object} Layout
 * @property {number} width @property {number} height
 * @property {Box} outer @property {Box} inner
 * @property {Bolt[]} bolts @property {SideMark[]} sides
 * @property {{x: number, y: number} | null} punch  none on a frame whose side A has no bolts
 * @property {View} view
 * @property {boolean} touch
 */
import { SIDES, boltPoint, placeOf, seenPoint, seenVector } from "./lie.js";

/** The least a gloved finger can be asked to hit. */
export const TOUCH = 44;
const LOOK = { margin: 22, band: 24 };
/** With turns at the bolts: room for their numbers. */
const TURNS = { margin: 30, band: 34 };
const SMALLEST = 40;
const SMALL = { margin: 16, band: 16 };
/** Drawings lower than this keep more of their height for the mesh. */
const LOW = 240;
const TAP = { margin: 2, band: 48 };

/** @param {Frame} frame @param {View} view */
function seenSize(frame, view) {
  const lengthwise = view.near === "A" || view.near === "C";
  return lengthwise
    ? { wide: frame.inside_a_mm, deep: frame.inside_b_mm }
    : { wide: frame.inside_b_mm, deep: frame.inside_a_mm };
}

/** How far a touch drawing may leave true proportions so that a finger hits each bolt on it. */
const MOST_STRETCH = 1.4;

/**
 * @param {Box} inner changed in place
 * @param {Frame} frame @param {View} view @param {{width: number, height: number, band: number}} room
 */
function stretch(inner, frame, view, { width, height, band }) {
  const most = (/** @type {Place[]} */ places) =>
    TOUCH * Math.max(...SIDES.filter((side) => places.includes(placeOf(view, side))).map((side) => frame.bolts[side]?.length ?? 0));
  const fit = (/** @type {number} */ size, /** @type {number} */ need, /** @type {number} */ room) =>
    (need > size && need <= room && need <= size * MOST_STRETCH ? need : size);
  inner.h = fit(inner.h, most(["left", "right"]), height);
  inner.w = fit(inner.w, most(["near", "far"]) - 2 * band, width);
}

/**
 * Largest box of the frame's true proportions that fits.
 * @param {Frame} frame @param {View} view
 * @param {{width: number, maxHeight: number, margin: number, band: number, touch: boolean}} room
 * @returns {{outer: Box, inner: Box}}
 */
function boxes(frame, view, { width, maxHeight, margin, band, touch }) {
  const { wide, deep } = seenSize(frame, view);
  const rim = 2 * (margin + band);
  // A page that is not laid out yet may report no room at all.
  const scale = Math.min(Math.max(SMALLEST, width - rim) / wide, Math.max(SMALLEST, maxHeight - rim) / deep);
  const inner = { w: wide * scale, h: deep * scale, x: 0, y: margin + band };
  if (touch) stretch(inner, frame, view, { width: width - rim, height: maxHeight - rim, band });
  inner.x = (width - inner.w) / 2;
  return {
    inner,
    outer: {
      x: inner.x - band,
      y: margin,
      w: inner.w + 2 * band,
      h: inner.h + 2 * band,
    },
  };
}

/**
 * Places along a side with room for a finger: true places if they are far enough apart, else
 * evenly spread, else none (the side must be unfolded).
 * @param {number[]} true_ places in px, rising @param {number} from @param {number} to
 * @returns {number[] | null}
 */
export function fingerPlaces(true_, from, to) {
  const gaps = true_.slice(1).map((at, i) => at - true_[i]);
  if (gaps.every((gap) => gap >= TOUCH)) return true_;
  const pitch = (to - from) / true_.length;
  return pitch >= TOUCH ? true_.map((_, i) => from + pitch * (i + 0.5)) : null;
}

/**
 * Bolts of one side as they lie: near and far from left to right, left and right from far to near.
 * @param {Frame} frame @param {View} view @param {Side} side @param {Room} room
 * @returns {{folded: boolean, bolts: Bolt[]}}
 */
function boltsOfSide(frame, view, side, { outer, inner, band, touch }) {
  const place = placeOf(view, side);
  const level = place === "near" || place === "far";
  const list = (frame.bolts[side] ?? []).map((mm, index) => {
    const [p, q] = seenPoint(view, ...boltPoint(frame, side, mm));
    const at = level ? inner.x + p * inner.w : inner.y + (1 - q) * inner.h;
    return { name: `${side}${index + 1}`, number: index + 1, at };
  });
  list.sort((a, b) => a.at - b.at);
  // In touch drawings near and far rows run into the corners; left and right keep clear of them.
  const [from, to] = level ? [outer.x, outer.x + outer.w] : [outer.y + band, outer.y + outer.h - band];
  const spread = touch ? fingerPlaces(list.map((bolt) => bolt.at), from, to) : null;
  const folded = touch && spread === null && list.length > 0;
  const line = {
    near: outer.y + outer.h - band / 2,
    far: outer.y + band / 2,
    left: outer.x + band / 2,
    right: outer.x + outer.w - band / 2,
  }[place];
  const pitch = list.length > 1 && spread ? Math.min(...spread.slice(1).map((at, i) => at - spread[i])) : band;
  return {
    folded,
    bolts: list.map((bolt, i) => {
      const at = spread ? spread[i] : bolt.at;
      const [x, y] = level ? [at, line] : [line, at];
      const along = Math.max(TOUCH, Math.min(pitch, 2 * TOUCH));
      const hit = level
        ? { x: x - along / 2, y: y - band / 2, w: along, h: band }
        : { x: x - band / 2, y: y - along / 2, w: band, h: along };
      return { name: bolt.name, side, place, number: bolt.number, x, y, hit };
    }),
  };
}

/** @param {View} view @param {Side} side @param {boolean} folded @param {Room} room @returns {SideMark} the letter of a side, outside the frame to look at, inside it to tap */
function sideMark(view, side, folded, { outer, inner, band, touch }) {
  const place = placeOf(view, side);
  const off = touch ? -(band / 2 + 36) : band / 2 + (band === TURNS.band ? 21 : 12);
  // A low drawing has less room above and below than at its sides.
  const up = !touch && band === SMALL.band ? band / 2 + SMALL.margin / 2 : off;
  const cx = outer.x + outer.w / 2;
  const cy = outer.y + outer.h / 2;
  const [x, y] = /** @type {Record<Place, [number, number]>} */ ({
    near: [cx, outer.y + outer.h - band / 2 + up],
    far: [cx, outer.y + band / 2 - up],
    left: [outer.x + band / 2 - off, cy],
    right: [outer.x + outer.w - band / 2 + off, cy],
  })[place];
  const hit = {
    near: { x: inner.x, y: inner.y + inner.h, w: inner.w, h: band },
    far: { x: inner.x, y: outer.y, w: inner.w, h: band },
    left: { x: outer.x, y: inner.y, w: band, h: inner.h },
    right: { x: inner.x + inner.w, y: inner.y, w: band, h: inner.h },
  }[place];
  return { side, place, x, y, folded, hit };
}

/**
 * The punch mark sits on the frame beside A1, towards the corner where counting begins.
 * @param {Bolt[]} bolts @param {View} view @param {boolean} large  is A1 drawn for a finger?
 */
function punchMark(bolts, view, large) {
  const first = bolts.find((bolt) => bolt.name === "A1");
  if (!first) return null;
  const [right, away] = seenVector(view, -1, 0);
  if (!large) return { x: first.x + right * 14, y: first.y - away * 14 };
  // Between the large bolt and the frame's outer corner.
  const [out, off] = seenVector(view, 0, -1);
  return { x: first.x + (right + out) * 18, y: first.y - (away + off) * 18 };
}

/**
 * @param {Frame} frame @param {View} view
 * @param {{width: number, maxHeight?: number, touch?: boolean, turned?: boolean}} options  `turned`: numbers stand in the bolts
 * @returns {Layout}
 */
export function layOut(frame, view, { width, maxHeight = Infinity, touch = false, turned = false }) {
  const rim = touch ? TAP : turned ? TURNS : maxHeight < LOW ? SMALL : LOOK;
  const { outer, inner } = boxes(frame, view, { width, maxHeight, touch, ...rim });
  const room = { outer, inner, band: rim.band, touch };
  /** @type {Bolt[]} */ const bolts = [];
  /** @type {SideMark[]} */ const sides = [];
  for (const side of SIDES) {
    const laid = boltsOfSide(frame, view, side, room);
    bolts.push(...laid.bolts);
    sides.push(sideMark(view, side, laid.folded, room));
  }
  const height = outer.y + outer.h + rim.margin;
  return { width, height, outer, inner, bolts, sides, punch: punchMark(bolts, view, touch && !sides[0].folded), view, touch };
}

/** Frame fractions to the drawing. @param {Layout} layout @param {number} u @param {number} v @returns {[number, number]} */
export function toDrawing(layout, u, v) {
  const [p, q] = seenPoint(layout.view, u, v);
  return [layout.inner.x + p * layout.inner.w, layout.inner.y + (1 - q) * layout.inner.h];
}
