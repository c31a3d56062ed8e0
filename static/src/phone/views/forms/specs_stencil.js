/** From coat to print and back to bare mesh. */
import { t } from "../../../shared/language.js";
import { NOTE_FIELD, noted, openJobs } from "./parts.js";

/** Whether the job of the stencil says that it is kept. @param {any} card @param {any} things */
const isKept = (card, things) => Boolean(card.screen?.job && things.get("job", card.screen.job)?.keep_stencils);

/** @type {Record<string, import("./specs.js").Spec>} */
export const STENCIL_FORMS = {
  coated: noted(t`Coated`),
  washed: noted(t`Washed`, ["solvent"]),
  reclaimed: { ...noted(t`Reclaimed`), caution: ({ card, things }) => (isKept(card, things) ? ["kept", "reclaim"] : ["reclaim"]) },
  exposed: {
    title: t`Exposed`,
    start: ({ context, things }) => ({ job: context.job ?? openJobs(things)[0]?.value ?? null, colour: null }),
    fields: (values, { things }) => [
      { name: "job", type: "choice", label: t`Job`, options: openJobs(things), empty: t`No open job on this phone. The office adds jobs.` },
      {
        name: "colour",
        type: "choice",
        label: t`Colour`,
        options: things
          .list("colour")
          .filter((/** @type {any} */ colour) => colour.job === values.job)
          .sort((/** @type {any} */ one, /** @type {any} */ two) => one.position - two.position)
          .map((/** @type {any} */ colour) => ({ value: colour.id, text: colour.name, sub: colour.key ? t`key colour` : undefined })),
        empty: t`This job has no colours yet.`,
      },
    ],
    payload: ({ job, colour }) => ({ job, colour }),
  },
  inspected: {
    title: t`Inspected`,
    start: () => ({ passed: null, note: "" }),
    fields: () => [{ name: "passed", type: "choice", label: t`Stencil`, options: { yes: t`Good to print`, no: t`Not good` } }, NOTE_FIELD],
    payload: ({ passed, note }) => ({ passed: passed === "yes", note: note.trim() }),
    values: ({ passed, note }) => ({ passed: passed ? "yes" : "no", note: note ?? "" }),
  },
};
