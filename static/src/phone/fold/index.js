import { effective } from "./order.js";
import { newFrame, nothing } from "./state.js";
import { step } from "./step.js";

export { condition } from "./condition.js";
export { createFrames, UNREAD } from "./frames.js";
export { effective, inOrder, lastWords } from "./order.js";

/**
 * @param {import("../entries/types.js").HeldEntry[]} entries in any order, doubles allowed
 * @returns {Omit<import("./state.js").State, "waiting">}
 */
export function fold(entries) {
  const state = nothing();
  for (const entry of effective(entries)) step(state, entry);
  const { frames, screens, meters } = state;
  return { frames, screens, meters };
}

/**
 * @param {import("../entries/types.js").HeldEntry[]} entries all that have a say about the frame
 * @param {string} frameId
 * @returns {{frame: import("./state.js").FrameState, screens: Record<string,
 *   import("./state.js").ScreenState>}} screens of this frame alone, by id
 */
export function foldFrame(entries, frameId) {
  const { frames, screens } = fold(entries);
  const own = Object.entries(screens).filter(([, screen]) => screen.frame === frameId);
  return { frame: frames[frameId] ?? newFrame(frameId), screens: Object.fromEntries(own) };
}
