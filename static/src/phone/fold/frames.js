import { condition, knows } from "./condition.js";
import { foldFrame } from "./index.js";
import { amended, byId, inOrder, isAct, lastWords, readable } from "./order.js";

/** The kind under which views are shown what this app cannot read: none of them looks into that. */
export const UNREAD = "unread";

/**
 * @typedef {import("../entries/types.js").HeldEntry} HeldEntry
 *
 * @typedef {HeldEntry & {voided: boolean, corrected: boolean, original?: HeldEntry,
 *   was?: string}} ShownEntry `was` is the kind of one that is `UNREAD`
 *
 * @typedef {object} FrameView everything a frame card shows
 * @property {any} thing the frame itself, null when this phone does not know it
 * @property {import("./state.js").FrameState} frame
 * @property {import("./state.js").ScreenState|null} screen the mesh on it now
 * @property {Record<string, import("./state.js").ScreenState>} screens
 * @property {ShownEntry[]} entries newest first
 * @property {import("./condition.js").Condition} condition
 * @property {import("./condition.js").Forecast|null} forecast that knows the last check
 */

/**
 * @param {HeldEntry[]} entries
 * @returns {ShownEntry[]} newest first; voids and corrections show on the entry they speak of
 */
function shown(entries) {
  const known = byId(readable(entries));
  const words = lastWords(known);
  return [...byId(entries).values()]
    .filter((entry) => !isAct(entry))
    .map((entry) => {
      const word = words.get(entry.id);
      const corrected = word?.kind === "correction";
      const now = { ...amended(entry, word), voided: word?.kind === "void", corrected };
      if (!known.has(entry.id)) return { ...now, kind: UNREAD, was: entry.kind };
      return corrected ? { ...now, original: entry } : now;
    })
    .sort((a, b) => inOrder(b, a));
}

/**
 * Frames as cards show them, folded on the phone from what it holds, its outbox included.
 * What was folded is kept until something is committed, in any tab.
 *
 * @param {Pick<import("../store/index.js").Store,
 *   "thing"|"things"|"state"|"entriesOfFrame"|"subscribe"|"clock">} store
 */
export function createFrames(store) {
  /** @type {Map<string, Promise<Omit<FrameView, "condition"|"forecast">>>} */
  const cache = new Map();

  // Any news clears all: a correction may touch more frames than the two it names.
  store.subscribe(({ frames }) => {
    if (!frames || frames.length) cache.clear();
  });

  /** @param {string} frameId @returns {Promise<Omit<FrameView, "condition"|"forecast">>} */
  async function read(frameId) {
    const [thing, told, entries] = await Promise.all([
      store.thing("frame", frameId), store.state("frame", frameId), store.entriesOfFrame(frameId),
    ]);
    const { frame, screens } = foldFrame(entries, frameId);
    const screen = frame.screen ? (screens[frame.screen] ?? null) : null;
    const last = later(frame.last, told?.last ?? null);
    return { thing, frame: { ...frame, last }, screen, screens, entries: shown(entries) };
  }

  return {
    /** @param {string} frameId @returns {Promise<FrameView>} */
    async frameView(frameId) {
      const held = cache.get(frameId) ?? read(frameId);
      cache.set(frameId, held);
      held.catch(() => cache.delete(frameId));
      const [view, [shop]] = await Promise.all([held, store.things("shop")]);
      const told = view.screen && (await store.state("forecast", view.screen.screen));
      const check = view.screen?.last_check;
      const forecast = told && check && knows(told, check) ? told : null;
      const now = condition(view.screen, shop ?? DEFAULTS, store.clock.now(), forecast);
      return { ...view, forecast, condition: now };
    },
  };
}

/**
 * The last thing done to a frame may have been done to a mesh that is gone, and of those a phone
 * need not hold every entry; the server has said what it was.
 *
 * @param {import("./state.js").Last|null} folded
 * @param {import("./state.js").Last|null} told
 */
const later = (folded, told) => (!folded || (told && told.at >= folded.at) ? told : folded);

/** Until the shop's own limits have come. */
const DEFAULTS = { tolerance_n_per_cm: 1.5, spread_limit_n_per_cm: 3, recent_days: 7 };
