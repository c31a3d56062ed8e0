/** Draws tensions over time; a bundle of its own, loaded when a history is opened. */
import uPlot from "uplot";

const HEIGHT = 220;

/**
 * @param {HTMLElement} place
 * @param {{at: number, low: number, mean: number, high: number}[]} series oldest first
 * @param {{target: number, tolerance: number}} wanted
 * @returns {() => void} takes the chart away
 */
function tensionPlot(place, series, { target, tolerance }) {
  const ink = getComputedStyle(document.documentElement);
  const colour = (/** @type {string} */ name) => ink.getPropertyValue(name).trim();
  const flat = (/** @type {number} */ value) => series.map(() => value);
  const columns = [
    series.map((one) => one.at / 1000),
    series.map((one) => one.low),
    series.map((one) => one.mean),
    series.map((one) => one.high),
    flat(target - tolerance),
    flat(target + tolerance),
  ];
  const axis = { stroke: colour("--ink"), grid: { stroke: colour("--line"), width: 1 }, ticks: { stroke: colour("--line") } };
  const thin = { stroke: colour("--soft"), width: 1, dash: [4, 4], points: { show: false } };
  /** @type {uPlot.Options} */
  const options = {
    width: place.clientWidth,
    height: HEIGHT,
    legend: { show: false },
    cursor: { show: false },
    axes: [{ ...axis, values: days }, { ...axis, size: 40 }],
    scales: { y: { range: (_, low, high) => [Math.floor(low - 1), Math.ceil(high + 1)] } },
    bands: [{ series: [5, 4], fill: `${colour("--holding")}22` }],
    series: [
      {},
      { stroke: colour("--low"), width: 2, dash: [6, 4], points: { show: true, size: 6 } },
      { stroke: colour("--ink"), width: 2, points: { show: true, size: 8, fill: colour("--ink") } },
      { stroke: colour("--high"), width: 2, dash: [2, 3], points: { show: true, size: 6 } },
      thin,
      thin,
    ],
  };
  const plot = new uPlot(options, /** @type {uPlot.AlignedData} */ (columns), place);
  const watch = new ResizeObserver(() => plot.setSize({ width: place.clientWidth, height: HEIGHT }));
  watch.observe(place);
  return () => {
    watch.disconnect();
    plot.destroy();
  };
}

/** @type {uPlot.Axis.DynamicValues} */
function days(_plot, splits) {
  return splits.map((seconds) => new Date(seconds * 1000).toLocaleDateString("en-GB", { day: "numeric", month: "short" }));
}

/** @type {any} */ (globalThis).tautbookPlot = tensionPlot;
