/** The log of a frame, newest first, with its tensions as chart and table. */
import { useState } from "preact/hooks";

import { whenText } from "../../../shared/ages.js";
import { t } from "../../../shared/language.js";
import { useApp, useLoaded, useNow } from "../../ui/app.js";
import { Page } from "../../ui/page.jsx";
import { tellEntry } from "../../ui/sentences.js";
import { withFrame } from "../gate.jsx";
import { TensionChart } from "./chart.jsx";

/** @param {any} props */
function Line({ entry, card, code, unsent }) {
  const { things, router } = useApp();
  const now = useNow();
  const { what, told } = tellEntry(entry, things, card.thing.step_48ths);
  const who = things.name("operator", entry.operator);
  return (
    <li>
      <button type="button" class={`event${entry.voided ? " is-void" : ""}`} onClick={() => router.go("entry", { code, arg: entry.id })}>
        <span class="event-when">{whenText(entry.occurred_at, now)}</span>
        <span class="event-what">
          <span class="event-told"><b>{what}</b> {told}</span>
          <span class="soft">
            {[who, entry.voided && t`undone`, entry.corrected && t`put right`, unsent && t`not sent yet`].filter(Boolean).map((fact) => ` · ${fact}`)}
          </span>
        </span>
      </button>
    </li>
  );
}

/** Entries older than the phone holds, asked of the server. @param {any} props */
function Older({ card, onOlder, before }) {
  const { server, notify } = useApp();
  const [state, setState] = useState("more");
  async function read() {
    setState("reading");
    try {
      const page = await server.olderEntries(card.thing.id, before);
      onOlder(page.items.map((/** @type {any} */ item) => item.body));
      setState(page.next ? "more" : "all");
    } catch (error) {
      notify({ sort: "trouble", text: /** @type {Error} */ (error).message });
      setState("more");
    }
  }
  if (state === "all") return <p class="hint">{t`That is all there is.`}</p>;
  return <button type="button" class="plain wide" onClick={read}>{state === "reading" ? t`Reading…` : t`Older entries`}</button>;
}

/** @param {any} props */
function History({ card, code }) {
  const { store } = useApp();
  const [older, setOlder] = useState(/** @type {any[]} */ ([]));
  const outbox = useLoaded(() => store.outbox(), [], (change) => change.stores.includes("outbox"));
  const unsent = new Set((outbox ?? []).map((/** @type {any} */ line) => line.entry.id));
  const held = new Set(card.entries.map((/** @type {any} */ entry) => entry.id));
  const added = older.filter((entry) => !held.has(entry.id) && entry.kind !== "void" && entry.kind !== "correction");
  const entries = [...card.entries, ...added];
  const before = older.at(-1)?.id ?? card.entries.at(-1)?.id ?? null;
  return (
    <Page title={code} sub={t`History`} name="history">
      <TensionChart card={card} />
      <h2>{t`Log`}</h2>
      <ol class="events">{entries.map((entry) => <Line key={entry.id} entry={entry} card={card} code={code} unsent={unsent.has(entry.id)} />)}</ol>
      <Older card={card} before={before} onOlder={(/** @type {any[]} */ found) => setOlder([...older, ...found])} />
    </Page>
  );
}

export const HistoryView = withFrame(History);
