// Draws what a table foretold against what was read, one dot per row, from that table's own cells.
import uPlot from "uplot";

import { t } from "../shared/language.js";

const HEIGHT = 320;
const MARGIN = 1;

export function mountScatters(/** @type {ParentNode} */ part) {
  for (const figure of part.querySelectorAll("figure[data-scatter]")) {
    const table = document.getElementById(figure.getAttribute("data-scatter") ?? "");
    const found = table && readPairs(/** @type {HTMLTableElement} */ (table));
    if (found && found.length > 1) draw(/** @type {HTMLElement} */ (figure), found);
  }
}

/** @returns {[number, number][]} foretold and read, by what was foretold */
function readPairs(/** @type {HTMLTableElement} */ table) {
  const heads = [...table.querySelectorAll("thead th")];
  const [x, y] = ["x", "y"].map((name) => heads.findIndex((head) => head.getAttribute("data-series") === name));
  const cell = (/** @type {HTMLTableRowElement} */ row, /** @type {number} */ index) => Number(row.cells[index].getAttribute("data-value"));
  return [...table.tBodies[0].rows]
    .map((row) => /** @type {[number, number]} */ ([cell(row, x), cell(row, y)]))
    .sort((one, other) => one[0] - other[0]);
}

function draw(/** @type {HTMLElement} */ figure, /** @type {[number, number][]} */ pairs) {
  const place = /** @type {HTMLElement} */ (figure.querySelector("[data-drawn]"));
  place.replaceChildren();
  const ink = getComputedStyle(document.documentElement);
  const colour = (/** @type {string} */ name) => ink.getPropertyValue(name).trim();
  const axis = { stroke: colour("--ink"), grid: { stroke: colour("--line"), width: 1 }, ticks: { stroke: colour("--line") } };
  const every = pairs.flat();
  const ends = /** @type {[number, number]} */ ([Math.floor(Math.min(...every) - MARGIN), Math.ceil(Math.max(...every) + MARGIN)]);
  const data = [pairs.map(([x]) => x), pairs.map(([, y]) => y), pairs.map(([x]) => x)];
  const options = {
    width: figure.clientWidth,
    height: HEIGHT,
    legend: { show: false },
    cursor: { drag: { x: false, y: false } },
    scales: { x: { time: false, range: ends }, y: { range: ends } },
    axes: [
      { ...axis, label: figure.getAttribute("data-along") ?? "" },
      { ...axis, label: figure.getAttribute("data-axis") ?? "", size: 48 },
    ],
    series: [
      {},
      { label: "read", stroke: colour("--act"), paths: () => null, points: { show: true, size: 7 } },
      { label: t`as foretold`, stroke: colour("--soft"), width: 1, points: { show: false } },
    ],
  };
  const plot = new uPlot(options, /** @type {uPlot.AlignedData} */ (/** @type {unknown} */ (data)), place);
  new ResizeObserver(() => plot.setSize({ width: figure.clientWidth, height: HEIGHT })).observe(figure);
}
