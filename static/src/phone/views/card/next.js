import { t } from "../../../shared/language.js";

/** Ready to print, so that it is in hand at a press to be printed with. @param {any} screen */
export const isPrinting = (screen) => screen?.stencil === "exposed" || screen?.stencil === "inspected";

/**
 * The one next action of a frame, from what its log says; the accent goes to it.
 * @param {any} card frameView
 * @param {object} here
 * @param {string | null} here.press  the one that the frame lies on, where the phone is
 * @param {boolean} [here.away]  the phone is at a press, the frame by its log elsewhere
 * @param {boolean} [here.other]  it is another screen than this press is set to
 * @returns {{name: string, arg?: string, text: string} | null} none where nothing should be done before looking twice
 */
export function nextAction({ screen, frame, condition }, { press, away = false, other = false }) {
  const moved = { name: "form", arg: "moved", text: t`Moved` };
  if (["lost", "repair"].includes(frame.place?.to) && !press) return moved;
  if (frame.awaiting_removal) return { name: "form", arg: "mesh_removed", text: t`Mesh removed` };
  if (!screen || screen.ended) return { name: "form", arg: "mesh_fitted", text: t`Mesh fitted` };
  if (other) return null;
  if (away && isPrinting(screen)) return moved;
  const open = screen.tweaks.open.at(-1);
  if (open && press) return { name: "form", arg: `after_marks:${open}`, text: t`After marks?` };
  if (!press && screen.reclaims > 0 && screen.stencil === "bare" && Object.keys(screen.register_turns).length > 0) return { name: "plan", arg: "even_up", text: t`Even up` };
  const off = ["low", "high", "uneven"].includes(condition.word);
  if (off && !press && screen.stencil === "bare") return { name: "plan", arg: "tension", text: t`Plan the turns` };
  if (condition.word === "unknown" || !press) return { name: "check", text: t`Check` };
  return { name: "register", text: t`Register` };
}
