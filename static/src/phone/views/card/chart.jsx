/** Tension of this screen over time: the chart when it can be drawn, its table always. */
import { useEffect, useRef, useState } from "preact/hooks";

import { stampText } from "../../../shared/ages.js";
import { t } from "../../../shared/language.js";
import { tensionText } from "../../../shared/units.js";
import { STENCIL } from "../../../shared/words.js";
import { useApp } from "../../ui/app.js";
import { bundle } from "../../ui/bundle.js";
import { aheadOf, aheadText, legendText, readText, tensionSeries } from "./series.js";

/** @param {any} props */
function Plot({ series, ahead, target, tolerance }) {
  const place = useRef(/** @type {HTMLDivElement | null} */ (null));
  const { addresses } = useApp();
  const [absent, setAbsent] = useState(false);
  useEffect(() => {
    let gone = () => {};
    let current = true;
    bundle(addresses.chart, "tautbookPlot").then(
      (plot) => { if (current && place.current) gone = plot(place.current, series, { target, tolerance, ahead }); },
      () => setAbsent(true),
    );
    return () => {
      current = false;
      gone();
    };
  }, [series.length, target, tolerance, ahead[0]?.at]);
  if (absent) return <p class="hint">{t`The chart is not on this phone yet; the table says the same.`}</p>;
  return <div class="plot" ref={place} aria-hidden="true" />;
}

/** What is expected, line by line. @param {{ahead: import("./series.js").Point[]}} props */
function AheadTable({ ahead }) {
  return (
    <table>
      <caption>{t`Expected without printing; eight of ten checks lie between`}</caption>
      <thead><tr><th scope="col">{t`When`}</th><th scope="col">{t`Low`}</th><th scope="col">{t`Mean`}</th><th scope="col">{t`High`}</th></tr></thead>
      <tbody>
        {ahead.map((one) => (
          <tr key={one.at}><td>{stampText(one.at)}</td><td>{tensionText(one.low)}</td><td>{tensionText(one.mean)}</td><td>{tensionText(one.high)}</td></tr>
        ))}
      </tbody>
    </table>
  );
}

/** What was read and what is expected, as sentence, chart and table. @param {any} props */
export function TensionChart({ card }) {
  const { screen } = card;
  const series = screen ? tensionSeries(card.entries, screen.screen) : [];
  if (series.length === 0) return null;
  const ahead = screen.ended ? [] : aheadOf(card.forecast, series);
  const drawn = series.length > 1 || ahead.length > 0;
  return (
    <section>
      <h2>{t`Tension, N/cm`}</h2>
      <p>{readText(series)} {aheadText(ahead)}</p>
      {drawn && <Plot series={series} ahead={ahead} target={screen.target_n_per_cm} tolerance={screen.tolerance_n_per_cm} />}
      {drawn && <p class="hint">{legendText(ahead)}</p>}
      <details>
        <summary>{t`As a table`}</summary>
        <table>
          <caption>{t`Read`}</caption>
          <thead><tr><th scope="col">{t`When`}</th><th scope="col">{t`Low`}</th><th scope="col">{t`Mean`}</th><th scope="col">{t`High`}</th><th scope="col">{t`Stencil`}</th></tr></thead>
          <tbody>
            {series.toReversed().map((one) => (
              <tr key={one.id}>
                <td>{stampText(one.at)}</td><td>{tensionText(one.low)}</td><td>{tensionText(one.mean)}</td><td>{tensionText(one.high)}</td><td>{STENCIL[/** @type {keyof typeof STENCIL} */ (one.stencil)]}</td>
              </tr>
            ))}
          </tbody>
        </table>
        {ahead.length > 0 && <AheadTable ahead={ahead} />}
      </details>
    </section>
  );
}
