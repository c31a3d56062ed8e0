/** One entry in full: what it says, who and when, and the ways to put it right. */
import { useState } from "preact/hooks";

import { stampText } from "../../shared/ages.js";
import { t } from "../../shared/language.js";
import { FACE } from "../../shared/words.js";
import { newCorrection, newVoid, stamp } from "../entries/index.js";
import { useApp } from "../ui/app.js";
import { Drawing } from "../ui/drawing.jsx";
import { TextField } from "../ui/fields.jsx";
import { Action, Page } from "../ui/page.jsx";
import { tellEntry } from "../ui/sentences.js";
import { withFrame } from "./gate.jsx";
import { findTyped } from "./labels.js";

/** The entry's own drawing, lying as it was seen. @param {any} props */
function Seen({ entry, card }) {
  const { face, near, spots, bolts, marks } = entry.payload;
  if (entry.was || !face || !near) return null;
  const turns = bolts ? Object.fromEntries(bolts.map((/** @type {any} */ one) => [one.bolt, one.turn_48ths])) : {};
  const screen = card.screens[entry.screen];
  return (
    <Drawing
      frame={card.thing} view={{ face, near }} maxHeight={300} spots={spots ?? []} turns={turns} marks={marks ?? []}
      target={screen?.target_n_per_cm} tolerance={screen?.tolerance_n_per_cm}
    />
  );
}

/** @param {any} props */
function Facts({ entry, card, told }) {
  const { things } = useApp();
  const { face, near, meter, note } = entry.was ? {} : entry.payload;
  /** @type {[string, any][]} */
  const facts = [
    [t`When`, stampText(entry.occurred_at)],
    [t`Who`, things.name("operator", entry.operator) || t`not said`],
    [t`Lying`, face && near && t`${/** @type {any} */ (FACE)[face]}, ${near} near`],
    [t`Meter`, things.name("meter", meter)],
    [t`Note`, note !== told && note],
    [t`Entered as`, entry.original && tellEntry(entry.original, things, card.thing.step_48ths).told],
  ];
  return <dl class="facts">{facts.filter(([, value]) => value).map(([name, value]) => <div key={name}><dt>{name}</dt><dd>{value}</dd></div>)}</dl>;
}

/** Undo asks why; the log keeps both. @param {any} props */
function UndoPart({ entry, onClose }) {
  const { context, save } = useApp();
  const [reason, setReason] = useState("");
  const [problem, setProblem] = useState("");
  function undo() {
    if (!reason.trim()) return setProblem(t`Say why in a few words.`);
    save(newVoid(entry, reason.trim(), context.operator), { text: t`Undone. The log keeps both.`, lasting: true });
  }
  return (
    <section class="part">
      <TextField label={t`Why does it not count?`} value={reason} problem={problem} onChange={setReason} />
      <div class="pair"><Action onClick={onClose}>{t`Keep it`}</Action><Action go onClick={undo}>{t`Undo it`}</Action></div>
    </section>
  );
}

/** The entry was made on the wrong frame: it moves there, the log keeps both. @param {any} props */
function OtherFramePart({ entry, onClose }) {
  const { store, frames, context, save } = useApp();
  const [text, setText] = useState("");
  const [problem, setProblem] = useState("");
  async function move() {
    const { code, problem: wrong } = await findTyped(store, text);
    const frame = code && (await store.frameByCode(code));
    if (!frame) return setProblem(wrong ?? t`This phone does not know ${code}.`);
    const view = await frames.frameView(frame.id);
    const put = { frame: frame.id, screen: view.screen && !view.screen.ended ? view.screen.screen : null };
    await save(newCorrection(entry, put, context.operator), { text: t`Moved to ${frame.code}.` });
  }
  return (
    <section class="part">
      <TextField label={t`The right frame’s code`} code value={text} problem={problem} onChange={setText} />
      <div class="pair"><Action onClick={onClose}>{t`Leave it`}</Action><Action go onClick={move}>{t`Move it`}</Action></div>
    </section>
  );
}

/** The entry belongs to another time: a wrong clock, or something entered late. @param {any} props */
function TimePart({ entry, onClose }) {
  const { context, save } = useApp();
  const zone = -new Date(entry.occurred_at).getTimezoneOffset();
  const [text, setText] = useState(stamp(Date.parse(entry.occurred_at), zone).slice(0, 16));
  const [problem, setProblem] = useState("");
  function move() {
    const at = Date.parse(text);
    if (Number.isNaN(at)) return setProblem(t`Give day and time.`);
    const occurred_at = stamp(at, -new Date(at).getTimezoneOffset());
    save(newCorrection(entry, { occurred_at }, context.operator), { text: t`Now at ${stampText(at)}.` });
  }
  return (
    <section class="part">
      <TextField label={t`When was it?`} time value={text} problem={problem} onChange={setText} />
      <div class="pair"><Action onClick={onClose}>{t`Leave it`}</Action><Action go onClick={move}>{t`Set it`}</Action></div>
    </section>
  );
}

const PARTS = { undo: UndoPart, frame: OtherFramePart, time: TimePart };

/** @param {any} props */
function Entry({ card, code, arg }) {
  const { things, router } = useApp();
  const [part, setPart] = useState(/** @type {keyof typeof PARTS | null} */ (null));
  const Part = part && PARTS[part];
  const entry = card.entries.find((/** @type {any} */ one) => one.id === arg);
  if (!entry) return <Page title={code}><p>{t`This entry is not on this phone. Older entries stand in the office.`}</p></Page>;
  const { what, told } = tellEntry(entry, things, card.thing.step_48ths);
  const movable = entry.kind !== "mesh_fitted" && !entry.voided;
  return (
    <Page
      title={what} sub={code} name="entry"
      foot={!entry.voided && !part && (
        <>
          <Action onClick={() => setPart("undo")}>{t`Undo`}</Action>
          <Action go onClick={() => router.go("fix", { code, arg: entry.id })}>{t`Put right`}</Action>
        </>
      )}
    >
      {entry.voided && <p class="state bad"><b>{t`Undone.`}</b> {t`It counts for nothing; the log keeps it.`}</p>}
      <p class="lead">{told}</p>
      <Seen entry={entry} card={card} />
      <Facts entry={entry} card={card} told={told} />
      {Part && <Part entry={entry} onClose={() => setPart(null)} />}
      {!part && !entry.voided && (
        <div class="pair">
          {movable && <button type="button" class="plain" onClick={() => setPart("frame")}>{t`It was another frame`}</button>}
          <button type="button" class="plain" onClick={() => setPart("time")}>{t`It was another time`}</button>
        </div>
      )}
    </Page>
  );
}

export const EntryView = withFrame(Entry);
