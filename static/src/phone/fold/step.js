import { correctedMs, utc } from "../entries/time.js";
import { onScreen } from "./kinds.js";
import { newFrame, newScreen } from "./state.js";

/**
 * @typedef {import("../entries/types.js").HeldEntry} HeldEntry
 * @typedef {import("./state.js").State} State
 * @typedef {import("./state.js").FrameState} FrameState
 * @typedef {import("./state.js").ScreenState} ScreenState
 */

/**
 * A screen ends once. After a burst the torn mesh is still on the frame.
 *
 * @param {State} state
 * @param {ScreenState} screen
 * @param {"burst"|"removed"|"replaced"|"scrapped"} how
 * @param {string} at
 */
function end(state, screen, how, at) {
  screen.ended ??= { how, at };
  const frame = state.frames[screen.frame];
  if (frame?.screen !== screen.screen) return;
  frame.awaiting_removal = how === "burst";
  if (how !== "burst") frame.screen = null;
}

/** @param {HeldEntry} entry @returns {"burst"|"removed"|"scrapped"|null} */
function ending({ kind, payload }) {
  if (kind === "burst") return "burst";
  if (kind === "mesh_removed") return "removed";
  return kind === "moved" && payload.to === "scrapped" ? "scrapped" : null;
}

/** @param {State} state @param {ScreenState} screen @param {HeldEntry} entry */
function takeOnScreen(state, screen, entry) {
  const at = utc(correctedMs(entry));
  onScreen[entry.kind]?.(screen, entry, at);
  // What waited for its mesh to be fitted is older than that.
  if (at >= screen.last.at) screen.last = { at, kind: entry.kind };
  const how = ending(entry);
  if (how) end(state, screen, how, at);
}

/**
 * A new mesh: whatever was on the frame has ended, whatever waited for the mesh is taken now.
 *
 * @param {State} state
 * @param {FrameState} frame
 * @param {HeldEntry} entry
 * @param {string} at
 */
function begin(state, frame, entry, at) {
  const before = frame.screen && frame.screen !== entry.id ? state.screens[frame.screen] : null;
  if (before) end(state, before, "replaced", at);
  const waiting = state.waiting[frame.frame]?.[entry.id] ?? [];
  delete state.waiting[frame.frame]?.[entry.id];
  const screen = newScreen(entry, frame.frame, at);
  state.screens[entry.id] = screen;
  Object.assign(frame, { screen: entry.id, awaiting_removal: false });
  for (const one of waiting) takeOnScreen(state, screen, one);
}

/** @param {FrameState} frame @param {HeldEntry} entry @param {string} at */
function takeOnFrame(frame, { kind, payload }, at) {
  frame.last = { at, kind };
  if (kind === "moved") {
    const { to, rack = null, press = null, station = null } = payload;
    frame.place = { to, rack, press, station, since: at };
  }
  if (kind !== "bolt_state") return;
  if (payload.state === "freed") delete frame.bolts[payload.bolt];
  else frame.bolts[payload.bolt] = payload.state;
}

/** @param {State} state @param {HeldEntry} entry @param {string} at */
function meterZeroed(state, { subject, payload }, at) {
  if (!subject) return;
  const { zero_n_per_cm } = payload;
  state.meters[subject.id] = { meter: subject.id, zeroed_at: at, zero_n_per_cm };
}

/** Without what the server adds when it hands an entry out. @param {HeldEntry} entry */
function asSent({ seq: _seq, received_at: _at, flags: _flags, ...entry }) {
  return entry;
}

/**
 * Applies one effective entry, the next in order, to the state in place.
 *
 * @param {State} state
 * @param {HeldEntry} entry
 */
export function step(state, entry) {
  const at = utc(correctedMs(entry));
  if (entry.kind === "meter_zeroed") return meterZeroed(state, entry, at);
  const frameId = entry.frame ?? state.screens[entry.screen ?? ""]?.frame;
  if (!frameId) return;
  const frame = (state.frames[frameId] ??= newFrame(frameId));
  takeOnFrame(frame, entry, at);
  if (entry.kind === "mesh_fitted") return begin(state, frame, entry, at);
  const screenId = entry.screen ?? frame.screen;
  if (!screenId) return;
  const screen = state.screens[screenId];
  if (screen) takeOnScreen(state, screen, entry);
  else ((state.waiting[frameId] ??= {})[screenId] ??= []).push(asSent(entry));
}
