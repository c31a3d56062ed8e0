import { useEffect, useState } from "preact/hooks";

import { useApp, useNow } from "./app.js";
import { syncText } from "./sync_text.js";

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

/** The outbox in a few words, always on screen; one tap shows every entry. */
export function SyncLine() {
  const { router } = useApp();
  const { sign, text, tone } = syncText(useSyncStatus(), useNow());
  return (
    <button type="button" class={`sync-line ${tone}`} onClick={() => router.go("outbox")}>
      <span aria-hidden="true">{sign}</span> {text}
    </button>
  );
}
