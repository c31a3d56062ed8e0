/** Tension of this screen over time: the chart when it can be drawn, its table always. */
import { useEffect, useRef, useState } from "preact/hooks";

import { stampText } from "../../../shared/ages.js";
import { t } from "../../../shared/language.js";
import { tensionText } from "../../../shared/units.js";
import { useApp } from "../../ui/app.js";
import { bundle } from "../../ui/bundle.js";
import { tensionSeries } from "./series.js";

/** @param {any} props */
function Plot({ series, target, tolerance }) {
  const place = useRef(/** @type {HTMLDivElement | null} */ (null));
  const { addresses } = useApp();
  const [absent, setAbsent] = useState(false);
  useEffect(() => {
    let gone = () => {};
    let current = true;
    bundle(addresses.chart, "tautbookPlot").then(
      (plot) => { if (current && place.current) gone = plot(place.current, series, { target, tolerance }); },
      () => setAbsent(true),
    );
    return () => {
      current = false;
      gone();
    };
  }, [series.length, target, tolerance]);
  if (absent) return <p class="hint">{t`The chart is not on this phone yet; the table says the same.`}</p>;
  return <div class="plot" ref={place} aria-hidden="true" />;
}

/** @param {any} props */
export function TensionChart({ card }) {
  const { screen } = card;
  const series = screen ? tensionSeries(card.entries, screen.screen) : [];
  if (series.length === 0) return null;
  return (
    <section>
      <h2>{t`Tension, N/cm`}</h2>
      {series.length > 1 && <Plot series={series} target={screen.target_n_per_cm} tolerance={screen.tolerance_n_per_cm} />}
      <details>
        <summary>{t`As a table`}</summary>
        <table>
          <thead><tr><th scope="col">{t`When`}</th><th scope="col">{t`Low`}</th><th scope="col">{t`Mean`}</th><th scope="col">{t`High`}</th><th scope="col">{t`Stencil`}</th></tr></thead>
          <tbody>
            {series.toReversed().map((one) => (
              <tr key={one.id}>
                <td>{stampText(one.at)}</td><td>{tensionText(one.low)}</td><td>{tensionText(one.mean)}</td><td>{tensionText(one.high)}</td><td>{one.stencil}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </details>
    </section>
  );
}
