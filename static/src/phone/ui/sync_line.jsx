import { ageText, whenText } from "../../shared/ages.js";
import { useApp, useLoaded, useNow } from "./app.js";
import { useEffect, useState } from "preact/hooks";

/** What the outbox is doing. @returns {any} */
export function useSyncStatus() {
  const { sync } = useApp();
  const [status, setStatus] = useState(() => sync.status());
  useEffect(() => {
    setStatus(sync.status());
    return sync.subscribe(() => setStatus(sync.status()));
  }, [sync]);
  return status;
}

/** @param {any} status @param {{unsent: number, oldest_at: number | null, refused: number}} counts @param {number} now @returns {{sign: string, text: string, tone: "calm" | "busy" | "held"}} */
export function syncText(status, counts, now) {
  const oldest = counts.oldest_at === null ? "" : `, oldest ${ageText(now - counts.oldest_at)}`;
  if (counts.refused > 0) return { sign: "!", text: `${counts.refused} refused`, tone: "held" };
  if (status.state === "held") return { sign: "!", text: `held: ${status.held_reason ?? "sign in"}`, tone: "held" };
  if (counts.unsent > 0) return { sign: "●", text: `${counts.unsent} waiting${oldest}`, tone: "busy" };
  if (!status.last_sync_at) return { sign: "○", text: "not yet synced", tone: "busy" };
  return { sign: "✓", text: `all sent, ${whenText(status.last_sync_at, now)}`, tone: "calm" };
}

const NONE = { unsent: 0, oldest_at: null, refused: 0, held: 0 };

/** The outbox in a few words, always on screen; one tap shows every entry. */
export function SyncLine() {
  const { store, router } = useApp();
  const status = useSyncStatus();
  const counts = useLoaded(() => store.counts(), [], (change) => change.stores.includes("outbox")) ?? NONE;
  const { sign, text, tone } = syncText(status, counts, useNow());
  return (
    <button type="button" class={`sync-line ${tone}`} onClick={() => router.go("outbox")}>
      <span aria-hidden="true">{sign}</span> {text}
    </button>
  );
}
