/** Draws tensions over time; a bundle of its own, loaded when a history is opened. */
import uPlot from "uplot";

import { LOCALE } from "../../shared/language.js";

const HEIGHT = 220;

/**
 * @typedef {{at: number, low: number, mean: number, high: number}} Point
 * @param {HTMLElement} place
 * @param {Point[]} series what was read, oldest first
 * @param {{target: number, tolerance: number, ahead?: Point[]}} wanted with what is expected after it
 * @returns {() => void} takes the chart away
 */
function tensionPlot(place, series, { target, tolerance, ahead = [] }) {
  const ink = getComputedStyle(document.documentElement);
  const colour = (/** @type {string} */ name) => ink.getPropertyValue(name).trim();
  const flat = (/** @type {number} */ value) => [...series, ...ahead].map(() => value);
  const read = (/** @type {"low" | "mean" | "high"} */ name) => [...series.map((one) => one[name]), ...ahead.map(() => null)];
  const expected = (/** @type {"low" | "mean" | "high"} */ name) => [...series.map(() => null), ...ahead.map((one) => one[name])];
  const columns = [
    [...series, ...ahead].map((one) => one.at / 1000),
    ...[read("low"), read("mean"), read("high")],
    ...[flat(target - tolerance), flat(target + tolerance)],
    ...[expected("low"), expected("mean"), expected("high")],
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
    bands: [{ series: [5, 4], fill: `${colour("--holding")}22` }, { series: [8, 6], fill: `${colour("--soft")}33` }],
    series: [
      {},
      { stroke: colour("--low"), width: 2, dash: [6, 4], points: { show: true, size: 6 } },
      { stroke: colour("--ink"), width: 2, points: { show: true, size: 8, fill: colour("--ink") } },
      { stroke: colour("--high"), width: 2, dash: [2, 3], points: { show: true, size: 6 } },
      thin,
      thin,
      thin,
      { stroke: colour("--ink"), width: 2, dash: [2, 6], points: { show: false } },
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
  return splits.map((seconds) => new Date(seconds * 1000).toLocaleDateString(LOCALE, { day: "numeric", month: "short" }));
}

/** @type {any} */ (globalThis).tautbookPlot = tensionPlot;
