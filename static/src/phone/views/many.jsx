/** One action for many frames: scan frame after frame, then say what happened to all of them. */
import { useState } from "preact/hooks";

import { n, t } from "../../shared/language.js";
import { MOVED_TO } from "../../shared/words.js";
import { newDraft } from "../entries/index.js";
import { turnsText } from "../ui/sentences.js";
import { touchesFrames, useApp, useLoaded } from "../ui/app.js";
import { Caution } from "../ui/caution.jsx";
import { Choice } from "../ui/choice.jsx";
import { TextField } from "../ui/fields.jsx";
import { Action, Page } from "../ui/page.jsx";
import { Scanner } from "../ui/scanner.jsx";
import { openJobs } from "./forms/parts.js";
import { findTyped, readLabel } from "./labels.js";

const WHAT = { coated: t`Coated`, exposed: t`Exposed`, washed: t`Washed`, reclaimed: t`Reclaimed`, moved: t`Moved` };
/** @type {Record<string, (keyof typeof import("../../shared/cautions.js").CAUTIONS)[]>} */
const CAUTION = { reclaimed: ["reclaim"], washed: ["solvent"] };
const TO = { rack: MOVED_TO.rack, repair: MOVED_TO.repair };

/** Colours of a job in printing order. @param {any} things @param {string | null} job @returns {any[]} */
const coloursOf = (things, job) =>
  things.list("colour").filter((/** @type {any} */ one) => one.job === job).sort((/** @type {any} */ one, /** @type {any} */ two) => one.position - two.position);

/** Which frame gets which colour: in the order of scanning, that of printing. @param {{frame: any}[]} held @param {any[]} colours */
const paired = (held, colours) => held.map(({ frame }, i) => ({ code: frame.code, colour: colours[i] ?? null }));

/** @param {any} props */
function Exposing({ held, job, onJob }) {
  const { things } = useApp();
  const pairs = paired(held, coloursOf(things, job));
  return (
    <>
      <Choice label={t`Job`} options={openJobs(things)} value={job} onChange={onJob} />
      {job && <p class="hint">{t`Scan in printing order: the first frame carries the first colour.`}</p>}
      {job && <ul class="lines">{pairs.map(({ code, colour }) => <li key={code} class="line"><b>{code}</b><span>{colour ? `${colour.position} ${colour.name}` : t`no colour left: take it off`}</span></li>)}</ul>}
    </>
  );
}

/** Frames whose bars still carry turns for register: they are evened up clean and dry. @param {any} props */
function StillIn({ held }) {
  const { frames } = useApp();
  const views = useLoaded(() => Promise.all(held.map((/** @type {any} */ { frame }) => frames.frameView(frame.id))), [held.length], touchesFrames);
  const carry = (views ?? []).filter(({ screen }) => screen && !screen.ended && Object.keys(screen.register_turns).length > 0);
  if (carry.length === 0) return null;
  return (
    <section class="note">
      <p><b>{t`Turns still in, even up:`}</b></p>
      <ul class="lines">{carry.map(({ thing, screen }) => <li key={thing.id} class="line"><b>{thing.code}</b><span>{turnsText(screen.register_turns, thing.step_48ths)}</span></li>)}</ul>
    </section>
  );
}

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
    setSaid(frame ? "" : found.problem ?? (found.code ? t`This phone does not know ${found.code}.` : t`This phone does not know that frame.`));
    // The entry's id is made here, so that saving again after trouble doubles nothing.
    if (frame) onAdd({ frame, scanned: text, id: newDraft({ kind: "note" }).id });
  }

  return (
    <>
      <Scanner low hint={t`One label after the other.`} onText={async (text) => add(await readLabel(store, text, addresses.origin), text)} />
      {said && <p class="state bad" role="alert">{said}</p>}
      <div class="add-row">
        <TextField label={t`Or type a code`} code value={typed} onChange={setTyped} />
        <button type="button" class="plain" onClick={async () => { await add(await findTyped(store, typed), null); setTyped(""); }}>{t`Add`}</button>
      </div>
      <ul class="chips">
        {held.map((/** @type {any} */ { frame }) => (
          <li key={frame.id}><button type="button" class="option" aria-label={t`Take ${frame.code} off the list`} onClick={() => onDrop(frame.id)}>{frame.code} ×</button></li>
        ))}
      </ul>
    </>
  );
}

export function ManyView() {
  const { store, frames, context, things, notify, router } = useApp();
  const [held, setHeld] = useState(/** @type {{frame: any, scanned: string | null, id: string}[]} */ ([]));
  const [kind, setKind] = useState(/** @type {string | null} */ (null));
  const [where, setWhere] = useState({ to: "rack", rack: "" });
  const [job, setJob] = useState(/** @type {string | null} */ (null));
  const [busy, setBusy] = useState(false);

  async function save() {
    if (!kind || busy) return;
    setBusy(true);
    notify(null);
    try {
      const colours = coloursOf(things, job);
      const drafts = await Promise.all(held.map(async ({ frame, scanned, id }, i) => {
        const { screen } = await frames.frameView(frame.id);
        const live = screen && !screen.ended ? screen.screen : null;
        const payload = kind === "exposed" ? { job, colour: colours[i].id } : payloadOf(kind, where);
        return newDraft({ id, kind, operator: context.operator, frame: frame.id, screen: live, scanned, payload });
      }));
      await store.saveTogether(drafts);
      notify({ sort: "saved", text: `${WHAT[/** @type {keyof typeof WHAT} */ (kind)]}: ${n(held.length)`# frame.|# frames.`}` });
      router.backTo("home");
    } catch (error) {
      notify({ sort: "trouble", text: /** @type {Error} */ (error).message });
      setBusy(false);
    }
  }

  const enough = kind !== "exposed" || held.length <= coloursOf(things, job).length;
  const ready = held.length > 0 && kind !== null && enough;
  return (
    <Page title={t`Many frames`} foot={<Action go wide disabled={!ready || busy} onClick={save}>{n(held.length)`Save for # frame|Save for # frames`}</Action>}>
      <Collect
        held={held} onDrop={(/** @type {string} */ id) => setHeld((now) => now.filter((one) => one.frame.id !== id))}
        onAdd={(/** @type {any} */ one) => setHeld((now) => (now.some(({ frame }) => frame.id === one.frame.id) ? now : [...now, one]))}
      />
      <Choice label={t`What happened to all of them?`} options={WHAT} value={kind} onChange={setKind} />
      {kind === "moved" && <Choice label={t`To`} options={TO} value={where.to} onChange={(to) => setWhere({ ...where, to })} />}
      {kind === "moved" && where.to === "rack" && <TextField label={t`Rack place`} value={where.rack} onChange={(rack) => setWhere({ ...where, rack })} />}
      {kind === "exposed" && <Exposing held={held} job={job} onJob={setJob} />}
      {kind === "reclaimed" && <StillIn held={held} />}
      <Caution of={CAUTION[kind ?? ""] ?? []} />
    </Page>
  );
}
