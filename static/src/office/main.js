// The office works without this file; it adds drawings, charts, previews of what is
// typed, and keeps an open page fresh.
import { mountCharts } from "./chart.js";
import { mountDrawings } from "./drawings.js";
import { takeLists } from "./exchange.js";
import { markFirstLabel } from "./first_label.js";
import { keepFresh } from "./live.js";
import { previewBolts } from "./preview.js";
import { mountScatters } from "./scatter.js";

function mount(/** @type {ParentNode} */ part) {
  mountDrawings(part);
  mountCharts(part);
  mountScatters(part);
}

// first, because it remembers the page as it was served, before anything is drawn into it
keepFresh(document, mount);
mount(document);
previewBolts(document);
markFirstLabel(document);
takeLists(document);
