/** Every entry the server has not answered for, with its state, its reason, and a way out by file. */
import { agoText, stampText, whenText } from "../../shared/ages.js";
import { n, t } from "../../shared/language.js";
import { useApp, useLoaded, useNow } from "../ui/app.js";
import { Action, Page } from "../ui/page.jsx";
import { tellEntry } from "../ui/sentences.js";
import { HELD } from "../ui/sync_text.js";
import { StorageNotice } from "./home_notices.jsx";
import { useSyncStatus } from "../ui/sync_line.jsx";

const STATE = {
  queued: t`to be sent`,
  sending: t`being sent`,
  waiting: t`waiting for the network`,
  "held: sign in": t`held until this phone is enrolled again`,
  "held: update needed": t`held until this app is updated`,
  refused: t`refused by the server`,
};

/** What is wrong and what to do; some answers say the second within the first. @param {any} problem */
function problemText({ detail, title, remedy }) {
  const wrong = detail ?? title;
  return wrong?.includes(remedy) ? wrong : [wrong, remedy].filter(Boolean).join(" ");
}

/** @param {any} props */
function Line({ line, shut }) {
  const { things, store, router } = useApp();
  const now = useNow();
  const { entry, state, problem, saved_at } = line;
  const frame = things.get("frame", entry.frame);
  const { what, told } = tellEntry(entry, things, frame?.step_48ths ?? 8);
  const held = state.startsWith("held");
  return (
    <li class={`outbox-line${state === "refused" ? " is-refused" : ""}`}>
      <p class="line-what"><b>{what}</b> {frame && <span>{frame.code}</span>}</p>
      {told && <p>{told}</p>}
      <p class="hint">{`${held && shut ? t`held until the manager takes this phone back` : /** @type {any} */ (STATE)[state] ?? state}, ${t`saved ${agoText(saved_at, now)}`}`}</p>
      {problem && !held && <p class="problem">{problemText(problem)}</p>}
      {state === "refused" && (
        <div class="pair">
          {frame && <button type="button" class="plain" onClick={() => router.go("card", { code: frame.code })}>{t`Enter anew`}</button>}
          <button type="button" class="plain" onClick={() => store.discardRefused(entry.id)}>{t`Take off the list`}</button>
        </div>
      )}
    </li>
  );
}

/** A file with everything in the outbox; works with no network. @param {any} store */
async function exportFile(store) {
  const content = await store.exportOutbox();
  const file = new Blob([JSON.stringify(content, null, 1)], { type: "application/json" });
  const link = document.createElement("a");
  link.href = URL.createObjectURL(file);
  link.download = `tautbook-outbox-${new Date().toISOString().slice(0, 16).replace(/[:T]/g, "-")}.json`;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}

function statusText(/** @type {any} */ status, /** @type {number} */ count, /** @type {number} */ now) {
  const last = status.last_sync_at ? t`Last sync ${stampText(status.last_sync_at)}.` : t`Never synced yet.`;
  if (status.state === "sending") return `${t`Sending now.`} ${last}`;
  if (status.state === "held") return `${t`Held: ${status.why ?? HELD[status.held_reason]} Nothing is lost.`} ${last}`;
  const next = count > 0 && status.next_try_at ? ` ${t`Next try ${whenText(status.next_try_at, now)}.`}` : "";
  return `${count === 0 ? t`Everything is sent.` : t`Entries leave this list when the server has taken them.`} ${last}${next}`;
}

export function OutboxView() {
  const { store, sync, router } = useApp();
  const status = useSyncStatus();
  const now = useNow();
  const lines = useLoaded(() => store.outbox(), [], ({ stores }) => stores.includes("outbox") || stores.includes("leases"));
  const held = status.state === "held" && /sign/.test(status.held_reason ?? "");
  const shut = status.state === "held" && status.held_reason === "blocked";
  return (
    <Page
      title={t`Outbox`} sub={lines ? n(lines.length)`# entry|# entries` : ""}
      foot={(
        <>
          <Action go={shut} onClick={() => exportFile(store)}>{t`Export to file`}</Action>
          {held ? <Action go onClick={() => router.go("enrol")}>{t`Enrol again`}</Action> : <Action go={!shut} onClick={() => sync.kick("hand")}>{t`Send now`}</Action>}
        </>
      )}
    >
      <p>{statusText(status, lines?.length ?? 0, now)}</p>
      <ul class="rows">{lines?.map((/** @type {any} */ line) => <Line key={line.entry.id} line={line} shut={shut} />)}</ul>
      <StorageNotice />
    </Page>
  );
}
