/** One of four answers, with what the image will do. */
import { decimal, n, t } from "../../../shared/language.js";
import { useApp } from "../../ui/app.js";
import { Caution, TurningCaution } from "../../ui/caution.jsx";
import { Choice } from "../../ui/choice.jsx";
import { Action, Page } from "../../ui/page.jsx";
import { Beside, Foretold, Limits, Line, PlanDrawing, Turns } from "../plan/shown.jsx";
import { choicesOf } from "./marks.js";

const OUT = t`The screen must come out; register will be lost.`;
/** The same in the advice's own words, which stands by itself here. */
const SAID = t`The screen must come out to reach all bolts; register will be lost.`;

/** The answer in three words. @param {any} answer */
export function headOf({ answer, verdict }) {
  if (answer === "leave_alone") return verdict.word === "scatter" ? t`Lays and clamps first` : t`Leave it alone`;
  return { press: t`Press screws first`, bolts: t`Turn bolts`, bolts_cannot: t`Not by bolts` }[/** @type {"press" | "bolts" | "bolts_cannot"} */ (answer)];
}

/** Why, without what stands by itself on the page: the screws, one by one, and that the screen must come out. @param {any} answer */
const said = ({ message, press }) => (press?.steps ?? []).reduce((/** @type {string} */ text, /** @type {string} */ step) => text.replace(step, ""), message.replace(SAID, "")).replace(/ +/g, " ").trim();

/** The press's own screws, in its own terms. @param {{steps: string[]}} props */
export function PressSteps({ steps }) {
  if (steps.length === 0) return null;
  return <ol class="press-steps">{steps.map((text) => <li key={text}>{text}</li>)}</ol>;
}

const mm = (/** @type {number} */ value) => `${decimal(value.toFixed(2))} mm`;
const moving = (/** @type {any} */ { dx_mm, dy_mm }) => dx_mm !== 0 || dy_mm !== 0;
const signed = (/** @type {number} */ value) => `${value < 0 ? "−" : "+"}${decimal(Math.abs(value).toFixed(1))}`;

/** Fewer bolts, more left; the operator may choose. @param {any} props */
function HowMany({ answer, advised, onWanted }) {
  const options = choicesOf(answer.curve, advised, answer.after_mm).map(({ bolts, left_mm }) => ({ value: String(bolts), text: n(bolts)`# bolt|# bolts`, sub: t`about ${mm(left_mm)} left` }));
  if (options.length < 2) return null;
  return <Choice label={t`How many bolts?`} options={options} value={String(advised)} onChange={(count) => onWanted(Number(count))} />;
}

/** @param {any} props */
function Bolts({ card, answer, onWanted }) {
  const { thing } = card;
  const { bolts, tension_change } = answer;
  return (
    <>
      <Turns bolts={bolts} step={thing.step_48ths} />
      {tension_change && <Line title={t`Tension`}>{t`${signed(tension_change.low)} to ${signed(tension_change.high)} N/cm`}</Line>}
      <HowMany answer={answer} advised={bolts.length} onWanted={onWanted} />
    </>
  );
}

/** What goes with the kind of answer. @param {any} props */
function Foot({ answer, onStart, onPressed, onAgain, onClose }) {
  const again = <Action onClick={onAgain}>{t`Other marks`}</Action>;
  if (answer?.answer === "bolts") return <>{again}<Action go onClick={onStart}>{t`Start turning`}</Action></>;
  if (answer?.answer === "press") return <>{again}<Action go onClick={onPressed}>{t`Done, pull three`}</Action></>;
  return <>{again}<Action onClick={onClose}>{t`To the card`}</Action></>;
}

/**
 * @param {object} props
 * @param {any} props.card @param {string} props.code @param {string} props.sub @param {any} props.values
 * @param {any} props.answer @param {string} props.trouble @param {string[]} props.hidden
 * @param {() => void} props.onStart @param {() => void} props.onPressed @param {() => void} props.onAgain @param {() => void} props.onClose @param {(bolts: number) => void} props.onWanted
 */
export function Answer({ card, code, sub, values, answer, trouble, hidden, onStart, onPressed, onAgain, onClose, onWanted }) {
  const { context } = useApp();
  const { view } = values;
  const out = answer?.answer === "bolts_cannot" && hidden.length > 0;
  const turning = answer?.answer === "bolts";
  const moves = !answer || answer.answer === "leave_alone" ? [] : answer.image;
  return (
    <Page title={code} sub={sub} name="register" foot={(answer || trouble) && <Foot answer={answer} onStart={onStart} onPressed={onPressed} onAgain={onAgain} onClose={onClose} />}>
      {trouble && <p class="state bad" role="alert">{trouble}</p>}
      {!answer && !trouble && <p class="hint" role="status">{t`Working it out…`}</p>}
      {answer && (
        <>
          <div role="status"><h2 class="answer-head">{headOf(answer)}</h2></div>
          <p class="answer-why">{said(answer)}</p>
          {out && <p class="state bad"><b>{OUT}</b></p>}
          {turning && <TurningCaution card={card} press={context.press} />}
          {answer.answer === "press" && <Caution of={["on_press"]} />}
          <PlanDrawing card={card} answer={answer} view={view} marks={answer.marks} moves={moves} spots={false} press={context.press} />
          {moves.some(moving) && <p class="hint">{t`Thick: as it printed. Thin: what the image will do.`}</p>}
          {answer.press && answer.answer !== "leave_alone" && <PressSteps steps={answer.press.steps} />}
          {turning && <Bolts card={card} answer={answer} onWanted={onWanted} />}
          <Foretold predicted={answer.predicted} view={view} />
          {answer.limits.length > 0 && (
            <details class="extras"><summary>{t`What holds it back`}</summary><Limits of={answer.limits} /></details>
          )}
          {(turning || answer.answer === "press") && <Beside of={answer.cautions} />}
        </>
      )}
    </Page>
  );
}
