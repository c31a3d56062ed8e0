import { t } from "../../../shared/language.js";

/**
 * The one next action of a frame, from what its log says; the accent goes to it.
 * @param {any} card frameView @param {string | null} press where the phone is, if at a press
 * @returns {{name: string, arg?: string, text: string}}
 */
export function nextAction({ screen, frame, condition }, press) {
  if (frame.awaiting_removal) return { name: "form", arg: "mesh_removed", text: t`Mesh removed` };
  if (!screen || screen.ended) return { name: "form", arg: "mesh_fitted", text: t`Mesh fitted` };
  const open = screen.tweaks.open.at(-1);
  if (open && press) return { name: "form", arg: `after_marks:${open}`, text: t`After marks?` };
  if (!press && screen.reclaims > 0 && screen.stencil === "bare" && Object.keys(screen.register_turns).length > 0) return { name: "plan", arg: "even_up", text: t`Even up` };
  const off = ["low", "high", "uneven"].includes(condition.word);
  if (off && !press && screen.stencil === "bare") return { name: "plan", arg: "tension", text: t`Plan the turns` };
  if (condition.word === "unknown" || !press) return { name: "check", text: t`Check` };
  return { name: "register", text: t`Register` };
}
