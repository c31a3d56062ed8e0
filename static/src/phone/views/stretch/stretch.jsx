/** Mesh onto a frame, step by step: one step a page, each kept, each in the log when it is done. */
import { useLayoutEffect, useState } from "preact/hooks";

import { rich, t } from "../../../shared/language.js";
import { distanceText, readDistance } from "../../../shared/units.js";
import { useApp, useLoaded } from "../../ui/app.js";
import { Caution } from "../../ui/caution.jsx";
import { Drawing, Lie } from "../../ui/drawing.jsx";
import { Action, Page } from "../../ui/page.jsx";
import { withFrame } from "../gate.jsx";
import { Nipping } from "../plan/nipping.jsx";
import { begin as beginRound } from "../plan/round.js";
import { alikeSides, bySide } from "../plan/telling.js";
import { Turning } from "../plan/turning.jsx";
import { Ask } from "./asks.jsx";
import { Corners, useEasing } from "./corners.jsx";
import { FirstForecast } from "./first_forecast.jsx";
import { over } from "./pictures.jsx";
import { entriesOfRound, entriesOfStep, moved } from "./progress.js";
import { coarseRound, pieceOf, preBow, rulesOf } from "./rules.js";
import { lockedBefore, stepsOf } from "./steps.js";
import { useFitting } from "./use_fitting.js";

const TURNED = ["bolt_turns", "nipped_up"];
/** Steps whose drawing shows the last readings. */
const READ = ["corners", "even", "rested"];
/** What a step says and asks needs so much of a screen; the drawing has the rest, within reason. */
const SAID = 664;
const LEAST = 130;
const room = () => Math.min(230, Math.max(150, window.innerHeight - SAID));

/** What the log gets of a step beyond its name. @param {string} at @param {any} about */
function foundAt(at, { values, thing, rules, rocks, since }) {
  const { mesh, rods, warp } = values;
  const piece = pieceOf(thing, rules);
  /** @type {Record<string, any>} */ const found = {
    inspected: { rock_mm: rocks, passed: rocks === null || rocks <= rules.rock_limit_mm },
    lock: { mesh, rods: rods.trim() || null },
    piece: { piece_a_mm: piece.a, piece_b_mm: piece.b, warp },
    pre_bow: { bolts: preBow(thing, rules.pre_bow_mm) },
    rested: { minutes: since ? Math.round((Date.now() - since) / 60_000) : null },
  };
  return found[at] ?? {};
}

/** What stands in the way of going on. @param {string} at @param {any} values @param {string} unit */
function missingAt(at, values, unit) {
  if (at === "inspected" && values.rock.trim() && readDistance(values.rock, unit) === null) return t`Type how far it rocks as a number, or leave it empty.`;
  return at === "lock" && !values.mesh ? t`Choose the mesh.` : "";
}

/** Turns too many to read on the drawing, those alike together. @param {{bolts: {bolt: string, turn_48ths: number}[], step: number}} props */
function HowMuch({ bolts, step }) {
  const sides = bySide(bolts, step);
  const [first] = sides.flatMap((side) => side.turns);
  if (!first) return null;
  const alike = sides.every(({ turns }) => turns.length === 1 && turns[0].text === first.text);
  if (alike) return <p class="st-figure">{rich`${<b>{first.text}</b>} each`}</p>;
  return (
    <dl class="st-turns">
      {alikeSides(sides).map(({ letters, lines }) => (
        <div key={letters}>
          <dt>{letters}</dt>
          <dd>{lines.map(({ bolts, text }) => <span key={text}>{bolts} <b>{text}</b></span>)}</dd>
        </div>
      ))}
    </dl>
  );
}

/** One step: drawing, what to do, how far, what can go wrong. @param {any} props */
function StepPage({ step, card, code, fitting, place, rules, since, onPut, onView, onBack, onDone, children }) {
  const { thing, frame } = card;
  const [problem, setProblem] = useState("");
  useLayoutEffect(() => window.scrollTo(0, 0), []);
  const { view, values } = fitting;
  const turns = step.name === "pre_bow" ? preBow(thing, rules.pre_bow_mm) : children.bolts;
  const drawn = step.name === "pre_bow" ? [] : turns;
  const easing = step.name === "corners" && turns.length > 0;
  const read = READ.includes(step.name) ? card.screen?.checks.bare?.spots : null;
  const done = () => {
    const missing = missingAt(step.name, values, children.unit);
    if (missing) setProblem(missing);
    else onDone();
  };
  return (
    <Page
      title={step.title} sub={`${code} · ${place}`} name="stretch"
      foot={(
        <>
          <Action onClick={onBack}>{t`Back`}</Action>
          <Action go onClick={done}>{children.done}</Action>
        </>
      )}
    >
      <Caution of={step.caution} />
      {step.name !== "lock" && <Lie view={view} onChange={onView} />}
      {step.name !== "lock" && (
        <Drawing
          frame={thing} view={view} maxHeight={easing ? LEAST : room()} states={frame.bolts} turns={Object.fromEntries(drawn.map((/** @type {any} */ one) => [one.bolt, one.turn_48ths]))}
          spots={read ?? []} target={card.screen?.target_n_per_cm} tolerance={card.screen?.tolerance_n_per_cm}
          over={over(step, { locked: children.locked, warp: values.warp, bow: distanceText(rules.pre_bow_mm, children.unit) })}
        />
      )}
      {!easing && <ul class="st-todo">{step.todo.map((/** @type {string} */ line) => <li key={line}>{line}</li>)}</ul>}
      <HowMuch bolts={turns} step={thing.step_48ths} />
      {step.far && !easing && <p><b>{t`How far:`}</b> {step.far}</p>}
      <Ask step={step} card={card} values={values} put={(/** @type {any} */ news) => { setProblem(""); onPut(news); }} rules={rules} since={since} problem={step.name === "inspected" ? problem || undefined : undefined} />
      {problem && step.name !== "inspected" && <p class="problem" role="alert">{problem}</p>}
      {children.more}
      {!easing && <p class="st-wrong"><b>{t`Watch:`}</b> {step.wrong}</p>}
      {rules.notes[step.name] && <p><b>{t`In this shop:`}</b> {rules.notes[step.name]}</p>}
    </Page>
  );
}

/** Reading and planning are pages of their own; this one tells when it is even. @param {any} props */
function ReadAndPlan({ code }) {
  const { router } = useApp();
  return (
    <div class="pair">
      <button type="button" class="plain" onClick={() => router.go("check", { code })}>{t`Check`}</button>
      <button type="button" class="plain" onClick={() => router.go("plan", { code, arg: "tension" })}>{t`Plan the turns`}</button>
    </div>
  );
}

const DONE = /** @type {Record<string, string>} */ ({ piece: t`Torn`, pre_bow: t`Bars are set`, corners: t`Go on`, even: t`It is even`, rested: t`It has rested` });

/** @param {{card: any, code: string}} props */
function Stretch({ card, code }) {
  const { things, context, save, router, remember, scanned, store } = useApp();
  const { thing, screen, frame } = card;
  const rules = rulesOf(things.shop);
  const steps = stepsOf(thing, rules, things.shop.length_unit);
  const names = steps.map((one) => one.name);
  const before = Object.values(card.screens).at(-1);
  const kept = useFitting(card, names, { rock: "", mesh: before?.mesh ?? null, rods: thing.rods ?? "", warp: before?.warp ?? "y" });
  const since = useLoaded(async () => {
    const entries = await store.entriesOfFrame(thing.id);
    const turned = entries.filter((/** @type {any} */ one) => TURNED.includes(one.kind)).map((/** @type {any} */ one) => Date.parse(one.occurred_at));
    return turned.length ? Math.max(...turned) : null;
  }, [thing.id], (change) => change.stores.includes("outbox"));
  const easing = useEasing(card, kept?.fitting);
  if (!kept || since === undefined) return <Page title={code}><p class="hint">{t`Opening…`}</p></Page>;
  const { fitting, set, sure } = kept;
  const i = Math.max(0, names.indexOf(fitting.at));
  const step = steps[i];
  const put = (/** @type {any} */ news) => set({ ...fitting, ...news });
  const by = { operator: context.operator, scanned: scanned && scanned.code === thing.code ? scanned.text : null };
  const mesh = things.get("mesh", screen && !screen.ended ? screen.mesh : fitting.values.mesh);
  const coarse = (/** @type {number} */ round) => (mesh ? coarseRound(thing, mesh, frame.bolts, round, rules.coarse_rounds, things.shop.round_limit_48ths) : []);
  const bolts = step.round ? coarse(step.round) : step.name === "corners" ? easing.answer?.bolts ?? [] : [];
  const next = () => sure(moved(fitting, names, 1));

  async function log(/** @type {any[]} */ drafts, /** @type {string} */ text) {
    if (!(await save(drafts, { text, stay: true }))) return;
    if (i < names.length - 1) await next();
    else {
      await kept?.drop();
      router.backTo("card", { code });
    }
  }

  /** A frame that is not fit goes to repair, and this fitting ends. @param {any} payload */
  async function setAside(payload) {
    if (!(await save(entriesOfStep(fitting, { frame: thing.id, by, payload }), { text: t`${code} is not fit for use. Say where it goes.`, stay: true }))) return;
    await kept?.drop();
    router.swap("form", { code, arg: "moved" });
  }

  function fitted() {
    const { mesh, warp } = fitting.values;
    const card_ = things.get("mesh", mesh);
    const target_n_per_cm = card_?.target_n_per_cm ?? card_?.tension_min_n_per_cm ?? 20;
    return { mesh, warp, target_n_per_cm, tolerance_n_per_cm: card_?.tolerance_n_per_cm ?? things.shop.tolerance_n_per_cm };
  }

  async function done() {
    const { values } = fitting;
    if (step.round || bolts.length) return put({ round: beginRound(bolts), stage: "turn" });
    const last = step.side && !steps[i + 1]?.side;
    if (["slack", "corners", "even"].includes(step.name) || (step.side && !last)) return next();
    const rocks = readDistance(values.rock, things.shop.length_unit);
    const word = last ? "locked" : step.name;
    const payload = { step: word, ...foundAt(step.name, { values, thing, rules, rocks, since }), ...(last ? { sides: steps.flatMap((one) => one.side ?? []) } : {}) };
    if (payload.passed === false) return setAside(payload);
    const live = step.name === "rested" ? (screen?.screen ?? fitting.screen) : null;
    return log(entriesOfStep(fitting, { frame: thing.id, screen: live, by, payload, fitted: last ? /** @type {any} */ (fitted()) : undefined }), t`${step.title}: done.`);
  }

  if (fitting.round) {
    const shared = { card, code, view: fitting.view, round: fitting.round, onChange: (/** @type {any} */ round) => put({ round }), onTick: (/** @type {any} */ round) => sure({ ...fitting, round }) };
    if (fitting.stage === "turn") return <Turning {...shared} onEnd={() => put({ stage: "nip" })} onDrop={() => put({ round: null })} />;
    const finish = () => log(entriesOfRound(fitting, { frame: thing.id, screen: screen?.screen ?? fitting.screen, by }), t`${step.title} of ${code} saved.`);
    return <Nipping {...shared} loose={[]} onBack={() => put({ stage: "turn" })} onSave={finish} />;
  }

  const more = /** @type {Record<string, any>} */ ({
    corners: <Corners card={card} code={code} easing={easing} onLeave={next} />,
    even: <ReadAndPlan code={code} />,
    rested: <FirstForecast card={card} since={since} />,
  });
  return (
    <StepPage
      key={step.name} step={step} card={card} code={code} fitting={fitting} rules={rules} since={since} place={t`${i + 1} of ${steps.length}`}
      onPut={(/** @type {any} */ news) => put({ values: { ...fitting.values, ...news } })}
      onView={(/** @type {any} */ view) => { put({ view }); remember(view); }}
      onBack={() => (i === 0 ? router.back() : sure(moved(fitting, names, -1)))}
      onDone={done}
    >
      {{
        bolts,
        unit: things.shop.length_unit,
        done: bolts.length ? t`Start turning` : DONE[step.name] ?? (step.round ? t`Start turning` : step.side ? t`${step.side} is locked` : t`Done`),
        locked: lockedBefore(steps, step.name),
        more: more[step.name],
      }}
    </StepPage>
  );
}

export const StretchView = withFrame(Stretch);
