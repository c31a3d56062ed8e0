// Draws the chart that stands above a table from that table's own cells, so both say the same.
import uPlot from "uplot";

import { LOCALE, t } from "../shared/language.js";

const HEIGHT = 260;
const NAMES = ["at", "low", "mean", "high", "floor", "ceiling"];

export function mountCharts(/** @type {ParentNode} */ part) {
  for (const figure of part.querySelectorAll("figure[data-chart]")) {
    const table = document.getElementById(figure.getAttribute("data-chart") ?? "");
    const found = table && readColumns(/** @type {HTMLTableElement} */ (table));
    if (found && found.columns[0].length > 1) draw(/** @type {HTMLElement} */ (figure), found);
  }
}

/** @returns {{names: string[], columns: number[][]}} one array per `data-series` header there is, seconds first */
function readColumns(/** @type {HTMLTableElement} */ table) {
  const heads = [...table.querySelectorAll("thead th")];
  const names = NAMES.filter((name) => heads.some((head) => head.getAttribute("data-series") === name));
  const wanted = names.map((name) => heads.findIndex((head) => head.getAttribute("data-series") === name));
  const rows = [...table.tBodies[0].rows].map((row) =>
    wanted.map((index) => Number(row.cells[index].getAttribute("data-value"))),
  );
  rows.sort((one, other) => one[0] - other[0]);
  return { names, columns: wanted.map((_, index) => rows.map((row) => row[index])) };
}

function draw(/** @type {HTMLElement} */ figure, /** @type {{names: string[], columns: number[][]}} */ { names, columns }) {
  const place = /** @type {HTMLElement} */ (figure.querySelector("[data-drawn]"));
  place.replaceChildren();
  const ink = getComputedStyle(document.documentElement);
  const colour = (/** @type {string} */ name) => ink.getPropertyValue(name).trim();
  const axis = { stroke: colour("--ink"), grid: { stroke: colour("--line"), width: 1 }, ticks: { stroke: colour("--line") } };
  const line = (/** @type {string} */ label, /** @type {string} */ stroke, more = {}) => ({ label, stroke, width: 2, ...more });
  const lines = {
    low: line(t`lowest`, colour("--low"), { dash: [6, 4], points: { show: true } }),
    mean: line(t`mean`, colour("--ink"), { width: 3, points: { show: true, size: 8 } }),
    high: line(t`highest`, colour("--high"), { dash: [2, 3], points: { show: true } }),
    floor: line(t`from`, colour("--soft"), { width: 1, points: { show: false } }),
    ceiling: line(t`to`, colour("--soft"), { width: 1, points: { show: false } }),
  };
  const band = /** @type {[number, number]} */ (["ceiling", "floor"].map((name) => names.indexOf(name)));
  const options = {
    width: figure.clientWidth,
    height: HEIGHT,
    legend: { show: false },
    cursor: { drag: { x: false, y: false } },
    scales: { y: { range: (/** @type {unknown} */ _, /** @type {number} */ low, /** @type {number} */ high) => /** @type {[number, number]} */ ([Math.floor(low - 1), Math.ceil(high + 1)]) } },
    axes: [{ ...axis, values: days, space: 70 }, { ...axis, label: figure.getAttribute("data-axis") ?? "N/cm", size: 48 }],
    series: [{}, ...names.slice(1).map((name) => lines[/** @type {keyof typeof lines} */ (name)])],
    bands: [{ series: band, fill: `${colour("--holding")}22` }],
  };
  const plot = new uPlot(options, /** @type {uPlot.AlignedData} */ (/** @type {unknown} */ (columns)), place);
  new ResizeObserver(() => plot.setSize({ width: figure.clientWidth, height: HEIGHT })).observe(figure);
}

/** Days as people write them here, whatever the browser's language: 12 Oct. */
function days(/** @type {unknown} */ _, /** @type {number[]} */ seconds) {
  let last = "";
  return seconds.map((second) => {
    const day = new Date(second * 1000).toLocaleDateString(LOCALE, { day: "numeric", month: "short" });
    const shown = day === last ? "" : day;
    last = day;
    return shown;
  });
}
