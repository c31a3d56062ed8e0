/** The outbox in a few words. */
import { ageText, whenText } from "../../shared/ages.js";
import { t } from "../../shared/language.js";

/** Why nothing is sent. @type {Record<string, string>} */
export const HELD = { "sign in": t`not enrolled`, blocked: t`blocked`, retired: t`retired`, "update needed": t`update needed` };

/** @param {any} status @param {number} now @returns {{sign: string, text: string, tone: "calm" | "busy" | "held"}} */
export function syncText(status, now) {
  const last = status.last_sync_at ? whenText(status.last_sync_at, now) : null;
  const held = status.state === "held" ? t`held: ${HELD[status.held_reason ?? "sign in"]}` : "";
  const refused = status.refused > 0 ? t`${status.refused} refused` : "";
  const oldest = status.oldest_at === null ? "" : `, ${t`oldest ${ageText(now - status.oldest_at)}`}`;
  const waiting = status.unsent > 0 ? t`${status.unsent} waiting` + oldest : "";
  const trouble = [refused, held].filter(Boolean).join(", ");
  if (!trouble && !waiting) {
    return last ? { sign: "✓", text: t`all sent, ${last}`, tone: "calm" } : { sign: "○", text: t`not yet synced`, tone: "busy" };
  }
  const text = [trouble, waiting, last ? t`synced ${last}` : t`never synced`].filter(Boolean).join(" · ");
  return trouble ? { sign: "!", text, tone: "held" } : { sign: "●", text, tone: "busy" };
}
