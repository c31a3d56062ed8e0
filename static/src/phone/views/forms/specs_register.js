/** What is learnt about a tweak after it was saved. */
import { t } from "../../../shared/language.js";
import { CAUSE, VERDICT } from "../../../shared/words.js";

/** @type {Record<string, import("./specs.js").Spec>} */
export const REGISTER_FORMS = {
  after_marks: {
    title: t`After marks`,
    start: () => ({ verdict: null, marks: [] }),
    fields: () => [
      { name: "verdict", type: "choice", label: t`How does it print now?`, options: VERDICT },
      { name: "marks", type: "marks", label: t`Marks`, optional: true },
    ],
    payload: ({ verdict, marks }, { about }) => ({ tweak: about, marks, verdict }),
  },
  cause_found: {
    title: t`Cause found`,
    start: () => ({ cause: null }),
    fields: () => [{ name: "cause", type: "choice", label: t`What moved?`, options: CAUSE }],
    payload: ({ cause }, { about }) => ({ tweak: about, cause }),
  },
};
