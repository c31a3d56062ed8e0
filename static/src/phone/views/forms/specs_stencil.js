/** From coat to print and back to bare mesh. */
import { NOTE_FIELD, noted, openJobs } from "./parts.js";

/** Whether the job of the stencil says that it is kept. @param {any} card @param {any} things */
const isKept = (card, things) => Boolean(card.screen?.job && things.get("job", card.screen.job)?.keep_stencils);

/** @type {Record<string, import("./specs.js").Spec>} */
export const STENCIL_FORMS = {
  coated: noted("Coated"),
  washed: noted("Washed", ["solvent"]),
  reclaimed: { ...noted("Reclaimed"), caution: ({ card, things }) => (isKept(card, things) ? ["kept", "reclaim"] : ["reclaim"]) },
  exposed: {
    title: "Exposed",
    start: ({ context, things }) => ({ job: context.job ?? openJobs(things)[0]?.value ?? null, colour: null }),
    fields: (values, { things }) => [
      { name: "job", type: "choice", label: "Job", options: openJobs(things), empty: "No open job on this phone. The office adds jobs." },
      {
        name: "colour",
        type: "choice",
        label: "Colour",
        options: things
          .list("colour")
          .filter((/** @type {any} */ colour) => colour.job === values.job)
          .sort((/** @type {any} */ one, /** @type {any} */ two) => one.position - two.position)
          .map((/** @type {any} */ colour) => ({ value: colour.id, text: colour.name, sub: colour.key ? "key colour" : undefined })),
        empty: "This job has no colours yet.",
      },
    ],
    payload: ({ job, colour }) => ({ job, colour }),
  },
  inspected: {
    title: "Inspected",
    start: () => ({ passed: null, note: "" }),
    fields: () => [{ name: "passed", type: "choice", label: "Stencil", options: { yes: "Good to print", no: "Not good" } }, NOTE_FIELD],
    payload: ({ passed, note }) => ({ passed: passed === "yes", note: note.trim() }),
    values: ({ passed, note }) => ({ passed: passed ? "yes" : "no", note: note ?? "" }),
  },
};
