/** End of a shift: what still asks for a word, what is not sent, counters, a note for the next one. */
import { useState } from "preact/hooks";

import { whenText } from "../../shared/ages.js";
import { n, rich, t } from "../../shared/language.js";
import { readNumber } from "../../shared/units.js";
import { newDraft } from "../entries/index.js";
import { touchesFrames, useApp, useLoaded, useNow } from "../ui/app.js";
import { NumberField, TextField } from "../ui/fields.jsx";
import { Action, Page } from "../ui/page.jsx";
import { ROOM } from "../ui/remembered.js";
import { openTweaks } from "../ui/sentences.js";

/** Live screens at this place: on this press, or those this phone handled last. @param {import("../ui/app.js").App} app @returns {Promise<any[]>} */
async function screensHere(app) {
  const { store, frames, context, things } = app;
  const states = await store.states("frame");
  const at = context.place === ROOM ? [] : states.filter((/** @type {any} */ state) => state.place?.press === context.press && state.place.to === "press").map((/** @type {any} */ state) => state.frame);
  const ids = [...new Set([...at, ...context.recent])].filter((id) => things.get("frame", id)).slice(0, 20);
  const views = await Promise.all(ids.map((id) => frames.frameView(id)));
  return views.filter((view) => view.screen && !view.screen.ended);
}

/** One number per set: the screens of one job print the same sheets. @param {any} props */
function Counter({ job, views }) {
  const { store, context, things, notify } = useApp();
  const [text, setText] = useState("");
  const [problem, setProblem] = useState("");
  async function save() {
    const count = readNumber(text);
    if (count === null || !Number.isInteger(count) || count < 0) return setProblem(t`Type a whole number.`);
    notify(null);
    try {
      for (const { thing, screen } of views) {
        const payload = { mode: "counter", count, job, colour: screen.colour };
        await store.save(newDraft({ kind: "impressions", operator: context.operator, frame: thing.id, screen: screen.screen, payload }));
      }
      notify({ sort: "saved", text: n(views.length)`Counter of ${things.name("job", job)}: # screen.|Counter of ${things.name("job", job)}: # screens.` });
      setText("");
    } catch (error) {
      // A counter's number set twice is the same number: saving again does no harm.
      notify({ sort: "trouble", text: /** @type {Error} */ (error).message });
    }
  }
  return (
    <div class="add-row">
      <NumberField label={`${things.name("job", job)}, ${n(views.length)`# screen|# screens`}`} whole value={text} problem={problem || undefined} onChange={(next) => { setText(next); setProblem(""); }} />
      <button type="button" class="plain" onClick={save}>{t`Save`}</button>
    </div>
  );
}

/** @param {any} props */
function OpenTweaks({ views }) {
  const { router, things } = useApp();
  const now = useNow();
  const open = openTweaks(views, things);
  if (open.length === 0) return <p class="fact">{t`Every tweak has its after marks.`}</p>;
  return (
    <ul class="lines">
      {open.map(({ id, code, at, told }) => (
        <li key={id} class="line"><span>{rich`Tweak of ${<b>{code}</b>}`}<span class="soft">{at && ` · ${whenText(at, now)}`}{told && ` · ${told}`}</span></span><button type="button" class="small" onClick={() => router.go("form", { code, arg: `after_marks:${id}` })}>{t`After marks?`}</button></li>
      ))}
    </ul>
  );
}

/** A note for the next shift goes to the log, about the press where it was written. */
function ShiftNote() {
  const { context, save } = useApp();
  const [text, setText] = useState("");
  const [draft, setDraft] = useState(() => newDraft({ kind: "note" }));
  async function keep() {
    if (!text.trim()) return;
    const subject = context.press ? { kind: /** @type {const} */ ("press"), id: context.press } : null;
    const saved = await save({ ...draft, operator: context.operator, subject, payload: { note: text.trim() } }, { text: t`Note for the next shift.`, stay: true });
    if (!saved) return;
    setText("");
    setDraft(newDraft({ kind: "note" }));
  }
  return (
    <>
      <TextField label={t`Note for the next shift`} long value={text} onChange={setText} />
      <button type="button" class="plain wide" onClick={keep}>{t`Save the note`}</button>
    </>
  );
}

export function ShiftView() {
  const app = useApp();
  const { store, sync, router, context, things } = app;
  const views = useLoaded(() => screensHere(app), [context.place, things], touchesFrames);
  const counts = useLoaded(() => store.counts(), [], (change) => change.stores.includes("outbox"));
  if (!views) return <Page title={t`End of shift`}><p class="hint">{t`Looking…`}</p></Page>;
  /** @type {Map<string, any[]>} */ const sets = new Map();
  for (const view of views) if (view.screen.job) sets.set(view.screen.job, [...(sets.get(view.screen.job) ?? []), view]);
  return (
    <Page title={t`End of shift`} foot={<Action go wide onClick={() => router.backTo("home")}>{t`Done`}</Action>}>
      <h2>{t`After marks`}</h2>
      <OpenTweaks views={views} />
      <h2>{t`Counters`}</h2>
      {sets.size === 0 && <p class="fact">{t`No set is on here.`}</p>}
      {[...sets].map(([job, set]) => <Counter key={job} job={job} views={set} />)}
      <h2>{t`Outbox`}</h2>
      <div class="line">
        <span>{counts?.unsent ? n(counts.unsent)`# entry waits to be sent.|# entries wait to be sent.` : t`All sent.`}</span>
        {Boolean(counts?.unsent) && <button type="button" class="small" onClick={() => sync.kick("hand")}>{t`Send now`}</button>}
      </div>
      <h2>{t`Note`}</h2>
      <ShiftNote />
    </Page>
  );
}
