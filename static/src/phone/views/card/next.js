/**
 * The one next action of a frame, from what its log says; the accent goes to it.
 * @param {any} card frameView @param {string | null} press where the phone is, if at a press
 * @returns {{name: string, arg?: string, text: string}}
 */
export function nextAction({ screen, frame, condition }, press) {
  if (frame.awaiting_removal) return { name: "form", arg: "mesh_removed", text: "Mesh removed" };
  if (!screen || screen.ended) return { name: "form", arg: "mesh_fitted", text: "Mesh fitted" };
  const open = screen.tweaks.open.at(-1);
  if (open && press) return { name: "form", arg: `after_marks:${open}`, text: "After marks?" };
  if (condition.word === "unknown" || !press) return { name: "check", text: "Check" };
  return { name: "tweak", text: "Tweak" };
}
