/** One action for many frames: scan frame after frame, then say what happened to all of them. */
import { useState } from "preact/hooks";

import { MOVED_TO } from "../../shared/words.js";
import { newDraft } from "../entries/index.js";
import { useApp } from "../ui/app.js";
import { Caution } from "../ui/caution.jsx";
import { Choice } from "../ui/choice.jsx";
import { TextField } from "../ui/fields.jsx";
import { Action, Page } from "../ui/page.jsx";
import { Scanner } from "../ui/scanner.jsx";
import { findTyped, readLabel } from "./labels.js";

const WHAT = { coated: "Coated", washed: "Washed", reclaimed: "Reclaimed", moved: "Moved" };
/** @type {Record<string, (keyof typeof import("../../shared/cautions.js").CAUTIONS)[]>} */
const CAUTION = { reclaimed: ["reclaim"], washed: ["solvent"] };
const TO = { rack: MOVED_TO.rack, repair: MOVED_TO.repair };

/** @param {string} kind @param {{to: string, rack: string}} where */
const payloadOf = (kind, where) =>
  (kind === "moved" ? { to: where.to, rack: where.to === "rack" && where.rack.trim() ? where.rack.trim() : null, press: null, station: null } : { note: "" });

/** @param {any} props */
function Collect({ held, onAdd, onDrop }) {
  const { store, addresses } = useApp();
  const [typed, setTyped] = useState("");
  const [said, setSaid] = useState("");

  async function add(/** @type {{code?: string, foreign?: string, problem?: string}} */ found, /** @type {string | null} */ text) {
    const frame = found.code && !found.foreign ? await store.frameByCode(found.code) : null;
    setSaid(frame ? "" : found.problem ?? `This phone does not know ${found.code ?? "that frame"}.`);
    // The entry's id is made here, so that saving again after trouble doubles nothing.
    if (frame) onAdd({ frame, scanned: text, id: newDraft({ kind: "note" }).id });
  }

  return (
    <>
      <Scanner low hint="One label after the other." onText={async (text) => add(await readLabel(store, text, addresses.origin), text)} />
      {said && <p class="state bad" role="alert">{said}</p>}
      <div class="add-row">
        <TextField label="Or type a code" code value={typed} onChange={setTyped} />
        <button type="button" class="plain" onClick={async () => { await add(await findTyped(store, typed), null); setTyped(""); }}>Add</button>
      </div>
      <ul class="chips">
        {held.map((/** @type {any} */ { frame }) => (
          <li key={frame.id}><button type="button" class="option" aria-label={`Take ${frame.code} off the list`} onClick={() => onDrop(frame.id)}>{frame.code} ×</button></li>
        ))}
      </ul>
    </>
  );
}

export function ManyView() {
  const { store, frames, context, notify, router } = useApp();
  const [held, setHeld] = useState(/** @type {{frame: any, scanned: string | null, id: string}[]} */ ([]));
  const [kind, setKind] = useState(/** @type {string | null} */ (null));
  const [where, setWhere] = useState({ to: "rack", rack: "" });
  const [busy, setBusy] = useState(false);

  async function save() {
    if (!kind || busy) return;
    setBusy(true);
    try {
      for (const { frame, scanned, id } of held) {
        const { screen } = await frames.frameView(frame.id);
        const live = screen && !screen.ended ? screen.screen : null;
        await store.save(newDraft({ id, kind, operator: context.operator, frame: frame.id, screen: live, scanned, payload: payloadOf(kind, where) }));
      }
      notify({ sort: "saved", text: `${WHAT[/** @type {keyof typeof WHAT} */ (kind)]}: ${held.length} frames.` });
      router.backTo("home");
    } catch (error) {
      notify({ sort: "trouble", text: /** @type {Error} */ (error).message });
      setBusy(false);
    }
  }

  const ready = held.length > 0 && kind !== null;
  return (
    <Page title="Many frames" foot={<Action go wide disabled={!ready || busy} onClick={save}>{`Save for ${held.length} ${held.length === 1 ? "frame" : "frames"}`}</Action>}>
      <Collect
        held={held} onDrop={(/** @type {string} */ id) => setHeld((now) => now.filter((one) => one.frame.id !== id))}
        onAdd={(/** @type {any} */ one) => setHeld((now) => (now.some(({ frame }) => frame.id === one.frame.id) ? now : [...now, one]))}
      />
      <Choice label="What happened to all of them?" options={WHAT} value={kind} onChange={setKind} />
      {kind === "moved" && <Choice label="To" options={TO} value={where.to} onChange={(to) => setWhere({ ...where, to })} />}
      {kind === "moved" && where.to === "rack" && <TextField label="Rack place" value={where.rack} onChange={(rack) => setWhere({ ...where, rack })} />}
      <Caution of={CAUTION[kind ?? ""] ?? []} />
    </Page>
  );
}
