/** The end of a round: bolts that have gone loose are taken up until they just bite. */
import { boltName } from "../../../shared/drawing/bolts.jsx";
import { n, t } from "../../../shared/language.js";
import { boltsText, stepName, turnText } from "../../../shared/turns.js";
import { BOLT_IS } from "../../../shared/words.js";
import { useApp } from "../../ui/app.js";
import { TurningCaution } from "../../ui/caution.jsx";
import { Drawing } from "../../ui/drawing.jsx";
import { Action, Page } from "../../ui/page.jsx";
import { nip, nipBack, nippedTurns, turnedBolts } from "./round.js";

/** Bolts that the plan expects to hang loose, each a button. @param {any} props */
function Expected({ loose, nipped, step, onBolt }) {
  if (loose.length === 0) return null;
  return (
    <section>
      <h2>{t`Likely loose`}</h2>
      <div class="grid nips">
        {loose.map((/** @type {string} */ bolt) => (
          <button key={bolt} type="button" class="option" data-nip={bolt} aria-pressed={Boolean(nipped[bolt])} onClick={() => onBolt(bolt)}>
            <span>{bolt}</span>
            <small>{nipped[bolt] ? turnText(nipped[bolt], step) : t`loose?`}</small>
          </button>
        ))}
      </div>
    </section>
  );
}

/**
 * @param {object} props
 * @param {any} props.card @param {string} props.code @param {import("../../../shared/types.js").View} props.view
 * @param {string[]} props.loose @param {string[]} [props.hidden] @param {string | null} [props.press]  where turning is done on one for certain
 * @param {import("./round.js").Round} props.round @param {(round: import("./round.js").Round) => void} props.onChange
 * @param {() => void} props.onBack @param {() => void} props.onSave
 */
export function Nipping({ card, code, view, loose, hidden = [], press, round, onChange, onBack, onSave }) {
  const { notify } = useApp();
  const { thing, frame } = card;
  const step = thing.step_48ths;
  const nipped = nippedTurns(round);
  const left = round.asked.length - turnedBolts(round).length;

  function tap(/** @type {string} */ bolt) {
    if (frame.bolts[bolt]) notify({ sort: "trouble", text: t`${bolt} is ${BOLT_IS[frame.bolts[bolt]]}.` });
    else onChange(nip(round, bolt, step));
  }

  const label = (/** @type {string} */ bolt) => `${bolt} ${turnText(nipped[bolt] ?? 0, step)}${boltName("", frame.bolts[bolt], hidden.includes(bolt))}. ${t`Take up ${turnText(step, step).slice(1)}`}`;
  return (
    <Page
      title={code} sub={t`Nip up`} name="nipping"
      foot={(
        <>
          <Action onClick={round.nipped.length > 0 ? () => onChange(nipBack(round)) : onBack}>{t`Back one`}</Action>
          <Action go onClick={onSave}>{t`Save the round`}</Action>
        </>
      )}
    >
      <TurningCaution card={card} press={press} />
      <p class="lead">{t`Try every bolt. Loose? Take it up until it just bites, and tap it once for each ${stepName(step, 1)}.`}</p>
      <Expected loose={loose} nipped={nipped} step={step} onBolt={tap} />
      <Drawing touch frame={thing} view={view} maxHeight={340} turns={nipped} hidden={hidden} chosen={loose} states={frame.bolts} onBolt={tap} boltLabel={label} />
      <p class="hint">{round.nipped.length > 0 ? t`Taken up: ${boltsText(Object.entries(nipped).map(([bolt, turn_48ths]) => ({ bolt, turn_48ths })), step)}` : t`None loose? Just save.`}</p>
      {left > 0 && <p class="hint">{n(left)`One bolt of the plan not turned; the log will say so.|# bolts of the plan not turned; the log will say so.`}</p>}
    </Page>
  );
}
