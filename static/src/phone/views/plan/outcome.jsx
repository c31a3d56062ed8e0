/** Foretold against read, after a round: what the next plan learns from. */
import { seenPoint } from "../../../shared/drawing/lie.js";
import { spotName } from "../../../shared/drawing/spots.js";
import { t } from "../../../shared/language.js";
import { tensionText } from "../../../shared/units.js";
import { bandText } from "./telling.js";
import { outcomeOf } from "./outcome.js";

const WAY = { along_a: t`along`, across_a: t`across` };

/** @param {{card: any, view: import("../../../shared/types.js").View}} props */
export function Outcome({ card, view }) {
  const found = card.screen && outcomeOf(card.entries, card.screen.screen);
  if (!found) return null;
  /** @type {import("./outcome.js").Row[]} */ const rows = found.rows;
  const met = rows.filter((row) => row.met).length;
  return (
    <details class="extras outcome">
      <summary>{met === rows.length ? t`Last round: all of ${rows.length} readings as foretold` : t`Last round: ${met} of ${rows.length} readings as foretold`}</summary>
      <table>
        <thead><tr><th scope="col">{t`Spot`}</th><th scope="col">{t`Foretold`}</th><th scope="col">{t`Read`}</th></tr></thead>
        <tbody>
          {rows.map((row) => (
            <tr key={`${row.u} ${row.v} ${row.direction}`}>
              <td>{spotName(...seenPoint(view, row.u, row.v))}, {WAY[row.direction]}</td>
              <td>{bandText(row.band)}</td>
              <td>{row.met ? "" : "! "}<b>{tensionText(row.read)}</b></td>
            </tr>
          ))}
        </tbody>
      </table>
    </details>
  );
}
