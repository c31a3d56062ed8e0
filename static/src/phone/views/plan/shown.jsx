/** A plan to look at: the turns on the frame as it lies, what they will do, what holds it back. */
import { lieText } from "../../../shared/drawing/frame.jsx";
import { seenPoint } from "../../../shared/drawing/lie.js";
import { spotName } from "../../../shared/drawing/spots.js";
import { t } from "../../../shared/language.js";
import { useApp } from "../../ui/app.js";
import { Drawing } from "../../ui/drawing.jsx";
import { hiddenHere } from "../../ui/in_hand.js";
import { bandText, bySide, drawnText, drawnTogether, foretoldRange, foretoldSpots, placeName } from "./telling.js";

/** @typedef {import("../../../shared/types.js").View} View */

/** Bolts of the plan side by side, in wrench order. @param {{bolts: any[], step: number}} props */
export function Turns({ bolts, step }) {
  if (bolts.length === 0) return null;
  return (
    <ul class="lines plan-turns" aria-label={t`Turns`}>
      {bySide(bolts, step).map(({ side, turns }) => (
        <li key={side} class="plan-side">
          {turns.map((one) => <span key={one.text} class="plan-turn"><b>{one.bolts}</b> {one.text}</span>)}
        </li>
      ))}
    </ul>
  );
}

/** @param {{predicted: any[], view: View}} props */
export function Foretold({ predicted, view }) {
  if (predicted.length === 0) return null;
  const cell = (/** @type {any} */ band) => <td>{band ? bandText(band) : "–"}</td>;
  return (
    <details class="extras">
      <summary>{t`After this round: ${foretoldRange(predicted)}`}</summary>
      <table>
        <thead><tr><th scope="col">{t`Spot`}</th><th scope="col">{t`Along A`}</th><th scope="col">{t`Across A`}</th></tr></thead>
        <tbody>
          {predicted.map((one) => (
            <tr key={`${one.u} ${one.v}`}><td>{spotName(...seenPoint(view, one.u, one.v))}</td>{cell(one.along_a)}{cell(one.across_a)}</tr>
          ))}
        </tbody>
      </table>
      <p class="hint">{t`N/cm. Nine of ten readings should fall within.`}</p>
    </details>
  );
}

/** @param {{title: string, children: any}} props */
export function Line({ title, children }) {
  return <div class="line"><span class="soft">{title}</span><span class="plan-fact">{children}</span></div>;
}

/** What is printed beside every plan. @param {{of: string[]}} props */
export function Beside({ of }) {
  if (of.length === 0) return null;
  return <ul class="plan-beside">{of.map((text) => <li key={text}>{text}</li>)}</ul>;
}

/** @param {{card: any, answer: any, view: View, marks?: any[], moves?: any[], spots?: boolean, press?: string | null}} props */
export function PlanDrawing({ card, answer, view, marks = [], moves = [], spots = true, press }) {
  const app = useApp();
  const { thing, screen, frame } = card;
  const turns = Object.fromEntries(answer.bolts.map((/** @type {any} */ one) => [one.bolt, one.turn_48ths]));
  return (
    <figure>
      <Drawing
        frame={thing} view={view} maxHeight={330} turns={turns} marks={marks} moves={moves} states={frame.bolts}
        spots={spots ? foretoldSpots(answer.predicted ?? []) : []} target={screen.target_n_per_cm} tolerance={screen.tolerance_n_per_cm}
        hidden={hiddenHere(card, view, app, press)}
        caption={(/** @type {boolean} */ numbered) => `${lieText(view)}. ${drawnText(turns, thing.step_48ths, numbered, spots)}`}
      />
    </figure>
  );
}

/** What shaped the plan, in sentences. @param {{of: string[]}} props */
export const Limits = ({ of }) => <ul class="plan-limits">{of.map((text) => <li key={text}>{drawnTogether(text)}</li>)}</ul>;

/** @param {{card: any, answer: any, view: View}} props */
export function PlanShown({ card, answer, view }) {
  const { things } = useApp();
  const { thing } = card;
  const { limits, read_next, nip_first, predicted, bolts } = answer;
  return (
    <>
      <PlanDrawing card={card} answer={answer} view={view} />
      <Turns bolts={bolts} step={thing.step_48ths} />
      {nip_first.length > 0 && <Line title={t`Nip up first`}><b>{nip_first.join(" ")}</b></Line>}
      {read_next && <Line title={t`Read here next`}>{placeName(thing, view, read_next, things.shop.length_unit)}</Line>}
      <Foretold predicted={predicted} view={view} />
      {limits.length > 0 && (
        <section>
          <h2>{t`What holds it back`}</h2>
          <Limits of={limits} />
        </section>
      )}
    </>
  );
}
