/** Which bolts to turn for tension, or to even up: the plan, the turning, nipping up, and what is saved of it. */
import { useState } from "preact/hooks";

import { n, t } from "../../../shared/language.js";
import { begin as beginReadings } from "../check/readings.js";
import { newDraft, stamp } from "../../entries/index.js";
import { useApp, useLoaded } from "../../ui/app.js";
import { TurningCaution } from "../../ui/caution.jsx";
import { Lie } from "../../ui/drawing.jsx";
import { TextField } from "../../ui/fields.jsx";
import { useKept } from "../../ui/forms.js";
import { hiddenHere, pressHere } from "../../ui/in_hand.js";
import { Action, Page } from "../../ui/page.jsx";
import { withFrame } from "../gate.jsx";
import { NoMesh } from "../no_mesh.jsx";
import { Nipping } from "./nipping.jsx";
import { Outcome } from "./outcome.jsx";
import { ofScreen, purposeOf } from "./request.js";
import { begin, entriesOf, turnedBolts } from "./round.js";
import { Beside, PlanShown } from "./shown.jsx";
import { spotsAfter } from "./telling.js";
import { Turning } from "./turning.jsx";
import { useAdvice } from "./use_advice.js";

const EVEN_UP = "even_up";
/** In the advice's own words. */
const NO_BOLT = t`No bolt can be turned: all are hidden, seized or broken.`;

/** Now, as entries tell times. */
export function stampNow() {
  const now = Date.now();
  return stamp(now, -new Date(now).getTimezoneOffset());
}

const fresh = (/** @type {any} */ context, /** @type {string} */ arg) => ({
  page: "plan",
  arg,
  view: { face: context.face, near: context.near },
  override: "",
  stage: "plan",
  answer: /** @type {any} */ (null),
  round: /** @type {any} */ (null),
  began: "",
  ids: { turns: "", nipped: "" },
});

/** Emulsion is on: only the screen room may go on, with its reason. @param {any} props */
function Override({ onReason }) {
  const { store } = useApp();
  const [reason, setReason] = useState("");
  const [problem, setProblem] = useState("");
  const device = useLoaded(() => store.meta.get("device"), [], (change) => change.stores.includes("meta"));
  if (device?.scope?.may_turn_with_stencil === false) return <p class="state bad">{t`Ask the screen room: this phone is not set up for turning with a stencil on.`}</p>;
  const go = () => (reason.trim() ? onReason(reason.trim()) : setProblem(t`Give the reason; it goes into the log.`));
  return (
    <section class="part">
      <TextField label={t`Screen room only: why turn all the same?`} value={reason} problem={problem || undefined} onChange={(text) => { setReason(text); setProblem(""); }} />
      <button type="button" class="plain wide" onClick={go}>{t`Plan all the same`}</button>
    </section>
  );
}

/** The count of turns is in doubt: the bars themselves can be measured; a plan with turns says so itself. @param {any} props */
function NotTrusted({ code, told, why }) {
  const { router } = useApp();
  return (
    <div class="note">
      <p><b>{why ? t`Reason noted: “${why}”` : t`A turn may be missing from the log.`}</b>{!told && ` ${t`Measure how far each bolt stands out, or go in small turns.`}`}</p>
      <button type="button" onClick={() => router.go("form", { code, arg: "stand_out" })}>{t`Stand-out`}</button>
    </div>
  );
}

/** What to do, large; what else is to be known of it, below. @param {{message: string}} props */
function Said({ message }) {
  const [first] = message.match(/^.*?[.!?](?= |$)/) ?? [message];
  return (
    <div class="said" role="status">
      <p class="lead">{first}</p>
      {message.length > first.length && <p>{message.slice(first.length)}</p>}
    </div>
  );
}

/** What may be done with the answer. @param {any} props */
function Foot({ answer, code, onStart }) {
  const { router } = useApp();
  if (answer?.bolts.length > 0) return <Action go wide onClick={onStart}>{t`Start turning`}</Action>;
  const unread = answer?.status === "blocked" && !answer.predicted.length;
  if (unread) return <Action go wide onClick={() => router.swap("check", { code })}>{t`Check`}</Action>;
  return <Action wide onClick={() => router.back()}>{t`Back to the card`}</Action>;
}

/** @param {any} props */
function Planned({ card, code, values, put, onStart, question, options }) {
  const { remember, context } = useApp();
  const { view } = values;
  const { answer, trouble } = useAdvice(card, { question, view, options: { ...options, override: values.override || null } });
  const clamped = pressHere(card, context) && answer?.status === "blocked" && answer.message.includes(NO_BOLT);
  const even = question === "evenUp";
  return (
    <Page title={code} sub={even ? t`Even up` : t`Plan of turns`} name="plan" foot={(answer || trouble) && <Foot answer={answer} code={code} onStart={() => onStart(answer)} />}>
      <Lie view={view} onChange={(/** @type {any} */ next) => { put({ view: next }); remember(next); }} />
      {!even && <Outcome card={card} view={view} />}
      {trouble && <p class="state bad" role="alert">{trouble}</p>}
      {!answer && !trouble && <p class="hint" role="status">{t`Working it out…`}</p>}
      {answer && (
        <>
          <Said message={answer.message} />
          {clamped && <p class="state bad">{t`The screen must come out; register will be lost.`}</p>}
          {answer.bolts.length > 0 && <TurningCaution card={card} />}
          {!answer.trusted && <NotTrusted code={code} told={answer.bolts.length > 0} why={answer.why} />}
          {answer.status === "refused" && !even && card.screen.stencil !== "bare" && <Override onReason={(/** @type {string} */ override) => put({ override })} />}
          {(answer.bolts.length > 0 || answer.predicted.length > 0) && <PlanShown card={card} answer={answer} view={view} />}
          {answer.bolts.length > 0 && <Beside of={answer.cautions} />}
        </>
      )}
    </Page>
  );
}

/** After the round the same spots are read again, and the one between them that is least certain. @param {any} app @param {any} card @param {any} values */
async function layOutCheck({ store, things, context }, card, { answer, view }) {
  const spots = spotsAfter(answer);
  if (spots.length === 0) return;
  const draft = newDraft({ kind: "tension_check", frame: card.thing.id, screen: card.screen.screen });
  const stencil = card.screen.stencil === "bare" ? "bare" : "coated";
  const form = { view, set: null, stencil, meter: context.meter, readings: beginReadings(spots, things.shop.reading_order ?? "both") };
  await store.drafts.keep({ ...draft, form, kept_at: Date.now() });
}

/** @param {{card: any, code: string, arg: string | null}} props */
function Plan({ card, code, arg }) {
  const app = useApp();
  const { context, router, save, scanned, store } = app;
  const which = arg ?? "tension";
  const kept = useKept("turn_plan", card, () => fresh(context, which), null, (values) => values.page === "plan" && values.arg === which);
  const entries = useLoaded(() => store.entriesOfFrame(card.thing.id), [card.thing.id], () => false);
  if (!card.screen || card.screen.ended) return <NoMesh card={card} code={code} />;
  if (!kept || !entries) return <Page title={code}><p class="hint">{t`Opening…`}</p></Page>;
  const { values } = kept;
  const put = (/** @type {any} */ news) => kept.set({ ...values, ...news });
  const even = which === EVEN_UP;
  const purpose = even ? EVEN_UP : purposeOf(ofScreen(entries, card.screen.screen), Date.now());

  const start = (/** @type {any} */ answer) => put({
    stage: "turning", answer, round: begin(answer.bolts), began: stampNow(), ids: { turns: newDraft({ kind: "bolt_turns" }).id, nipped: newDraft({ kind: "nipped_up" }).id },
  });

  async function finish() {
    const { answer, round, began, ids, view } = values;
    const by = { operator: context.operator, scanned: scanned && scanned.code === card.thing.code ? scanned.text : null };
    const payload = { purpose: answer.payload.purpose, ...view };
    const drafts = entriesOf({ draft: kept?.draft, plan: answer.payload, began, ids, round, turned: { kind: "bolt_turns", payload }, by });
    const count = turnedBolts(round).length;
    const saved = await save(drafts, { text: n(count)`Round of ${code}: # bolt. Wait two minutes, then read.|Round of ${code}: # bolts. Wait two minutes, then read.`, stay: true });
    if (!saved) return;
    if (!even) await layOutCheck(app, card, values);
    router.swap(even ? "card" : "check", { code });
  }

  if (values.stage === "plan") return <Planned card={card} code={code} values={values} put={put} onStart={start} question={even ? "evenUp" : "tensionPlan"} options={{ purpose }} />;
  const shared = { card, code, view: values.view, round: values.round, onChange: (/** @type {any} */ round) => put({ round }), onTick: (/** @type {any} */ round) => kept.sure({ ...values, round }) };
  if (values.stage === "nip") {
    return <Nipping {...shared} loose={values.answer.loose} hidden={hiddenHere(card, values.view, app)} onBack={() => put({ stage: "turning" })} onSave={finish} />;
  }
  return (
    <Turning {...shared} onEnd={() => put({ stage: "nip" })} onDrop={kept.restart}>
      {values.answer.payload.after !== (card.screen.last_check?.id ?? null) && !even && (
        <div class="note"><p>{t`A check was saved since this plan was made.`}</p><button type="button" onClick={kept.restart}>{t`Plan anew`}</button></div>
      )}
    </Turning>
  );
}

export const PlanView = withFrame(Plan);
