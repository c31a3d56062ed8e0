/**
 * @typedef {import("./call.js").ProblemBody} ProblemBody
 * @typedef {import("../store/record.js").Problem} Problem
 *
 * @typedef {{state: "done"|"again"}
 *   | {state: "waiting", why: string, wait_ms: number, lone?: boolean}
 *   | {state: "held", reason: HeldReason, detail: string}} Outcome lone: one entry was turned
 *   down, the others may go on
 * @typedef {"sign in"|"blocked"|"retired"|"update needed"} HeldReason
 */
import { t } from "../../shared/language.js";

const UPDATE = t`This app and the server do not understand each other. Update the app.`;
const UNFIT = [400, 413, 422];

/** What an app that is too old or too new can say for itself. @type {ProblemBody} */
export const MISMATCH = { title: t`Update needed`, detail: UPDATE, status: 426 };

/**
 * What our server means by turning a request down.
 *
 * @param {number} status
 * @param {ProblemBody} body
 * @returns {HeldReason|"unfit"} unfit: something in the request itself; find out which entry
 */
export function meaning(status, { type = "", errors = [] }) {
  if (status === 401) return "sign in";
  if (status === 403) {
    const word = type.split("/").at(-1);
    return word === "blocked" || word === "retired" ? word : "sign in";
  }
  const protocol = errors.some(({ field }) => field === "protocol");
  return UNFIT.includes(status) && !protocol ? "unfit" : "update needed";
}

/** @param {HeldReason} reason @returns {"held: sign in"|"held: update needed"} */
export const heldState = (reason) =>
  reason === "update needed" ? "held: update needed" : "held: sign in";

/** @param {ProblemBody} body @returns {Problem} */
export function problemOf({ title, detail, errors }) {
  const [first] = errors ?? [];
  return { title, ...(detail ? { detail } : {}), ...first };
}
