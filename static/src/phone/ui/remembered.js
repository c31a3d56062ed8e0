/**
 * What was told once and is not asked again: who works, where, on which job, and how the frame
 * lies there. Kept per place; the screen room is a place like a press.
 *
 * @typedef {object} AtPlace
 * @property {"squeegee" | "print"} face @property {import("../../shared/types.js").Side} near
 * @property {number | null} station @property {string | null} job @property {string | null} colour
 * @property {string | null} meter @property {import("../../shared/drawing/spots.js").SpotSet | null} spots
 * @property {boolean} [lain]  how a frame lies here was told
 *
 * @typedef {object} Remembered
 * @property {string | null} operator @property {string} place  "room" or a press's id
 * @property {Record<string, AtPlace>} places @property {string[]} recent  frames, newest first
 *
 * @typedef {AtPlace & {operator: string | null, place: string, press: string | null, recent: string[],
 *   asked: boolean}} Context  `asked`: how a frame lies here has been told once
 */
export const ROOM = "room";
const RECENT = 8;

/** @type {AtPlace} */
const UNTOLD = { face: "squeegee", near: "A", station: null, job: null, colour: null, meter: null, spots: null };

/** @type {Remembered} */
export const NOTHING = { operator: null, place: ROOM, places: {}, recent: [] };

/** @param {Remembered} told @returns {Context} */
export function flat(told) {
  return {
    ...(told.places[told.place] ?? UNTOLD),
    asked: Boolean(told.places[told.place]?.lain),
    operator: told.operator,
    place: told.place,
    press: told.place === ROOM ? null : told.place,
    recent: told.recent,
  };
}

/**
 * @param {Remembered} told
 * @param {Partial<Remembered> & Partial<AtPlace>} news  `operator` and `place` hold everywhere, the rest at the place
 * @returns {Remembered}
 */
export function told(told, news) {
  const { operator = told.operator, place = told.place, recent = told.recent, ...rest } = news;
  const next = { operator, place, recent, places: told.places };
  if (Object.keys(rest).length === 0) return next;
  const lain = "face" in rest || "near" in rest || Boolean(told.places[place]?.lain);
  const here = { ...(told.places[place] ?? UNTOLD), ...rest, lain };
  return { ...next, places: { ...told.places, [place]: here } };
}

/** @param {string[]} recent @param {string} id */
export const withRecent = (recent, id) => [id, ...recent.filter((one) => one !== id)].slice(0, RECENT);
