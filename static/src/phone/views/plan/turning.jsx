/** One bolt after the other, large, ticked off with one thumb; what is ticked survives a locked screen. */
import { useEffect, useLayoutEffect, useState } from "preact/hooks";

import { n, t } from "../../../shared/language.js";
import { turnText } from "../../../shared/turns.js";
import { useApp } from "../../ui/app.js";
import { TurningCaution } from "../../ui/caution.jsx";
import { Drawing } from "../../ui/drawing.jsx";
import { hiddenHere } from "../../ui/in_hand.js";
import { Action, Page } from "../../ui/page.jsx";
import { tick, tickBack, toggle, turnedBy } from "./round.js";
import { countedText } from "./telling.js";

/** Keeps the screen lit while hands are on the spanner, where the browser can. */
function useLit() {
  useEffect(() => {
    const { wakeLock } = /** @type {any} */ (navigator);
    /** @type {any} */ let held = null;
    let left = false;
    const light = () => document.visibilityState === "visible" && wakeLock?.request("screen").then(
      (/** @type {any} */ lock) => {
        held = lock;
        if (left) lock.release();
      },
      () => {},
    );
    light();
    document.addEventListener("visibilitychange", light);
    return () => {
      left = true;
      document.removeEventListener("visibilitychange", light);
      held?.release();
    };
  }, []);
}

const way = (/** @type {number} */ turn) => (turn > 0 ? t`tighten` : turn < 0 ? t`loosen` : t`leave it`);

/** The bolt in hand, in letters to be read from the other side of the frame. @param {any} props */
function InHand({ round, step, onChange }) {
  const [other, setOther] = useState(false);
  const { bolt, turn_48ths } = round.asked[round.at];
  const turn = round.turns[bolt];
  const by = (/** @type {number} */ amount) => () => onChange(turnedBy(round, amount));
  return (
    <div class="in-hand" aria-live="polite">
      <p class="in-hand-now"><b>{bolt}</b> <output>{turnText(turn, step)}</output></p>
      <p class="in-hand-way">
        <span>{[way(turn), countedText(turn, step)].filter(Boolean).join(": ")}{turn !== turn_48ths && `, ${t`not ${turnText(turn_48ths, step)}`}`}</span>
        <button type="button" class="small" aria-expanded={other} onClick={() => setOther(!other)}>{other ? t`Close` : t`Turned otherwise?`}</button>
      </p>
      {other && (
        <div class="stepper" role="group" aria-label={t`What ${bolt} was turned`}>
          <button type="button" class="option" aria-label={t`one step less`} onClick={by(-step)}>−</button>
          <output>{turnText(turn, step)}</output>
          <button type="button" class="option" aria-label={t`one step more`} onClick={by(step)}>+</button>
        </div>
      )}
    </div>
  );
}

/** All bolts of the round, in wrench order; a tap ticks one off, or takes its tick back. @param {any} props */
function AllBolts({ round, step, onTick }) {
  return (
    <ul class="rows ticks">
      {round.asked.map((/** @type {any} */ { bolt }) => {
        const done = round.done.includes(bolt);
        return (
          <li key={bolt}>
            <button type="button" class="row tick" aria-pressed={done} data-bolt={bolt} onClick={() => onTick(toggle(round, bolt))}>
              <b class="row-code">{bolt}</b><span>{turnText(round.turns[bolt], step)}</span><span class="tick-box" aria-hidden="true">{done ? "✓" : ""}</span>
            </button>
          </li>
        );
      })}
    </ul>
  );
}

/**
 * @param {object} props
 * @param {any} props.card @param {string} props.code @param {import("../../../shared/types.js").View} props.view
 * @param {import("./round.js").Round} props.round @param {(round: import("./round.js").Round) => void} props.onChange
 * @param {(round: import("./round.js").Round) => void} props.onTick  shows the round once it is kept
 * @param {() => void} props.onEnd  to nipping up @param {() => void} props.onDrop @param {string | null} [props.press]  where turning is done on one for certain @param {any} [props.children]  what must be known before turning
 */
export function Turning({ card, code, view, round, onChange, onTick, onEnd, onDrop, press, children }) {
  const app = useApp();
  const [list, setList] = useState(false);
  useLit();
  useLayoutEffect(() => {
    const here = list && document.querySelector('.tick[aria-pressed="false"]');
    if (here) here.scrollIntoView({ block: "center" });
    else window.scrollTo(0, 0);
  }, [list]);
  const { thing, frame } = card;
  const step = thing.step_48ths;
  const now = round.asked[round.at];
  const all = round.asked.length;
  const place = now ? t`Bolt ${round.done.length + 1} of ${all}` : n(all)`The bolt is done|All # bolts done`;
  return (
    <Page
      title={code} sub={place} name="turning"
      foot={(
        <>
          <Action disabled={round.done.length === 0} onClick={() => onTick(tickBack(round))}>{t`Back one`}</Action>
          {now && !list ? <Action go onClick={() => onTick(tick(round))}>{t`Done ${now.bolt}`}</Action> : <Action go onClick={onEnd}>{t`Nip up`}</Action>}
        </>
      )}
    >
      <TurningCaution card={card} press={press} />
      {children}
      {list ? <AllBolts round={round} step={step} onTick={onTick} /> : (
        <>
          <Drawing
            frame={thing} view={view} maxHeight={300} turns={round.turns} done={round.done} next={now?.bolt ?? null} states={frame.bolts}
            hidden={hiddenHere(card, view, app, press)}
          />
          {now ? <InHand key={now.bolt} round={round} step={step} onChange={onChange} /> : <p class="lead">{t`Every bolt of the plan is done. Now nip up.`}</p>}
        </>
      )}
      <button type="button" class="plain wide" aria-pressed={list} onClick={() => setList(!list)}>{list ? t`One at a time` : t`All bolts as a list`}</button>
      {now && (
        <nav class="links" aria-label={t`Leave the round`}>
          {round.done.length > 0 ? <button type="button" onClick={onEnd}>{t`Stop here and nip up`}</button> : <button type="button" onClick={onDrop}>{t`Drop this plan`}</button>}
        </nav>
      )}
    </Page>
  );
}
