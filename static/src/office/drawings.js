// Puts the frame drawing into every `<figure data-drawing='{…}'>`, as wide as the figure is.
import { h, render } from "preact";

import { FrameDrawing } from "../shared/drawing/frame.jsx";

const WIDEST = 560;
const HIGHEST = 460;

/** @param {ParentNode} part */
export function mountDrawings(part) {
  for (const figure of part.querySelectorAll("figure[data-drawing]")) {
    draw(/** @type {HTMLElement} */ (figure));
    new ResizeObserver(() => draw(/** @type {HTMLElement} */ (figure))).observe(figure);
  }
}

/** Draws again from the figure's own data; the preview calls it after changing them. @param {HTMLElement} figure */
export function draw(figure) {
  const width = Math.min(figure.clientWidth, WIDEST);
  const props = JSON.parse(figure.dataset.drawing ?? "{}");
  const place = figure.querySelector("[data-drawn]");
  if (place && width) render(h(FrameDrawing, { ...props, width, maxHeight: HIGHEST }), place);
}
