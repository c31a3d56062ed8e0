/** What the reader should know before working: a new version, sign-in, storage, an empty list. */
import { useEffect, useState } from "preact/hooks";

import { t } from "../../shared/language.js";
import { useApp, useLoaded } from "../ui/app.js";
import { useSyncStatus } from "../ui/sync_line.jsx";

/** @param {{text: any, action?: string, onAction?: () => void}} props */
function Note({ text, action, onAction }) {
  return (
    <div class="note">
      <p>{text}</p>
      {action && <button type="button" onClick={onAction}>{action}</button>}
    </div>
  );
}

function useWaitingVersion() {
  const { updates } = useApp();
  const [waiting, setWaiting] = useState(updates.waiting());
  useEffect(() => updates.subscribe(() => setWaiting(updates.waiting())), [updates]);
  return waiting;
}

/** Was this phone let in? undefined until known. */
function useEnrolled() {
  const { store } = useApp();
  const device = useLoaded(async () => (await store.meta.get("device")) ?? null, [], (change) => change.stores.includes("meta"));
  return device === undefined ? undefined : device !== null;
}

/** The browser's word on keeping entries, where it gave none. */
export function StorageNotice() {
  const status = useSyncStatus();
  if (status.storage_persisted !== false) return null;
  return <p class="hint storage">{t`This browser may clear stored entries when space is short. Put Tautbook on the home screen and sync often.`}</p>;
}

export function NoticesHome() {
  const { updates, router, things, context, store } = useApp();
  const waiting = useWaitingVersion();
  const enrolled = useEnrolled();
  const status = useSyncStatus();
  const signIn = status.state === "held" && /sign/.test(status.held_reason ?? "");
  return (
    <>
      {waiting && <Note text={t`A new version is here.`} action={t`Tap to update`} onAction={updates.take} />}
      {((enrolled === false && !status.last_sync_at) || signIn) && (
        <Note
          text={things.ready ? t`The server no longer knows this phone. What you save stays here until it does.` : t`This phone is not enrolled yet. Ask the manager for “Add phone”.`}
          action={t`Enrol this phone`} onAction={() => router.go("enrol")}
        />
      )}
      {things.ready && !context.operator && (
        <Note text={t`Who works here? Say it once.`} action={t`Choose`} onAction={() => router.go("context")} />
      )}
      {store.install?.reason === "numbering lost" && (
        <Note text={t`This browser lost its storage and was started anew. The manager’s list shows the gap.`} />
      )}
    </>
  );
}
