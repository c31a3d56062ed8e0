/** At a burst: which job is at risk and which frame could follow. */
import { t } from "../../../shared/language.js";
import { meshText } from "../../../shared/units.js";
import { STENCIL } from "../../../shared/words.js";
import { useApp, useLoaded } from "../../ui/app.js";
import { placeText } from "../card/facts.jsx";

const SAME_MM = 5;
const MOST = 3;
const RETENSIONS_APART = 1;

/** How far a screen is off its own target now: forecast, else last read. @param {any} view @param {number} now */
function offTarget({ screen, forecast }, now) {
  const point = forecast?.curve.findLast((/** @type {any} */ p) => Date.parse(p.at) <= now);
  return Math.abs((point ?? screen.last_check).mean - screen.target_n_per_cm);
}

/** Frames of the same inside size with the same mesh, holding and on no other job, retensioned about as often; the nearest to its target first. @param {import("../../ui/app.js").App} app @param {any} card @returns {Promise<any[]>} */
async function followers(app, card) {
  const { store, frames, things } = app;
  const { thing, screen } = card;
  const states = await store.states("screen");
  const sameSize = (/** @type {any} */ frame) =>
    frame && !frame.retired && Math.abs(frame.inside_a_mm - thing.inside_a_mm) <= SAME_MM && Math.abs(frame.inside_b_mm - thing.inside_b_mm) <= SAME_MM;
  const alike = states.filter((/** @type {any} */ state) => state.frame !== thing.id && !state.ended && state.mesh === screen.mesh && !state.job && Math.abs(state.retensions - screen.retensions) <= RETENSIONS_APART && sameSize(things.get("frame", state.frame)));
  const views = await Promise.all(alike.slice(0, 20).map((/** @type {any} */ state) => frames.frameView(state.frame)));
  const now = store.clock.now();
  return views
    .filter((view) => view.screen && !view.screen.ended && ["holding", "due"].includes(view.condition.word))
    .sort((a, b) => offTarget(a, now) - offTarget(b, now))
    .slice(0, MOST);
}

/** @param {any} props */
export function BurstHelp({ card }) {
  const app = useApp();
  const { things } = app;
  const { screen } = card;
  const found = useLoaded(() => (screen ? followers(app, card) : Promise.resolve([])), [card.thing.id], (change) => change.stores.includes("states"));
  if (!screen) return null;
  const mesh = things.get("mesh", screen.mesh);
  return (
    <section class="burst-help">
      {screen.job && <p><b>{t`At risk:`}</b> {things.name("job", screen.job)}, {things.name("colour", screen.colour)}.</p>}
      {found && found.length > 0 && <p><b>{t`Could follow:`}</b> {found.map((view) => `${view.thing.code} (${placeText(view.frame.place, things)}, ${STENCIL[/** @type {keyof typeof STENCIL} */ (view.screen.stencil)]})`).join("; ")}</p>}
      {found && found.length === 0 && mesh && <p><b>{t`Could follow:`}</b> {t`no other holding frame of this size with ${meshText(mesh, things.shop.count_unit)}.`}</p>}
    </section>
  );
}
