import { useEffect } from "preact/hooks";

import { t } from "../../shared/language.js";
import { newVoid } from "../entries/index.js";
import { useApp } from "./app.js";

const UNDO_MS = 10_000;

/** The saved tick with Undo for ten seconds, or what went wrong until it is put away. */
export function Notice() {
  const { notice, notify, store, context } = useApp();
  useEffect(() => {
    if (notice?.sort !== "saved") return;
    const timer = setTimeout(() => notify(null), UNDO_MS);
    return () => clearTimeout(timer);
  }, [notice]);

  async function undo() {
    if (!notice?.entries) return;
    try {
      await store.saveTogether(notice.entries.map((entry) => newVoid(entry, t`Undone at once`, context.operator)));
      notify({ sort: "saved", text: t`Undone. The log keeps both.` });
    } catch (error) {
      notify({ sort: "trouble", text: /** @type {Error} */ (error).message });
    }
  }

  return (
    <div class="notices" role="status" aria-live="polite">
      {notice && (
        <div class={`notice ${notice.sort}`}>
          <span class="notice-sign" aria-hidden="true">{notice.sort === "saved" ? "✓" : "!"}</span>
          <p>
            {notice.text.replace(/(\d)-(?=\w)/g, "$1\u2011")}
            {notice.caution && <b class="notice-caution"> {notice.caution}</b>}
          </p>
          {notice.entries?.length ? (
            <button type="button" onClick={undo}>{t`Undo`}</button>
          ) : (
            <button type="button" onClick={() => notify(null)}>{t`Close`}</button>
          )}
        </div>
      )}
    </div>
  );
}
