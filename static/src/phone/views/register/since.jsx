/** Beside a colour out of register: what has changed since its sheet was signed, and what no log knows. */
import { agoText, whenText } from "../../../shared/ages.js";
import { n, t } from "../../../shared/language.js";
import { tensionText } from "../../../shared/units.js";
import { useApp, useLoaded, useNow } from "../../ui/app.js";
import { jobInHand } from "../../ui/in_hand.js";
import { tellEntry } from "../../ui/sentences.js";
import { summary } from "../../fold/checks.js";
import { changesSince, checksAround, sheetOf } from "./since.js";

/** More would push the question off the screen. */
const MOST = 4;

const meanOf = (/** @type {any} */ check) => tensionText(summary(check, check.occurred_at).mean);

/** @param {any} props */
function Line({ entry, step }) {
  const { things } = useApp();
  const now = useNow();
  const { what, told } = tellEntry(entry, things, step);
  return <li class="line"><span><b>{what}</b> {told}</span><span class="soft">{whenText(entry.occurred_at, now)}</span></li>;
}

/** @param {any} props */
function Since({ card, sheet }) {
  const { things, context } = useApp();
  const now = useNow();
  const changes = changesSince(card.entries, sheet);
  const checks = checksAround(card.entries, sheet);
  const press = sheet.payload.press && context.press && sheet.payload.press !== context.press;
  const more = changes.length - MOST;
  return (
    <>
      <p class="hint">{t`Signed ${whenText(sheet.occurred_at, now)}, ${agoText(sheet.occurred_at, now)}.`}</p>
      <ul class="lines">
        {press && <li class="line"><span><b>{t`Press`}</b> {t`${things.name("press", sheet.payload.press)} then, ${things.name("press", context.press)} now`}</span></li>}
        {checks && <li class="line"><span><b>{t`Tension`}</b> {t`${meanOf(checks.then)} then, ${meanOf(checks.now)} N/cm now`}</span></li>}
        {changes.slice(0, MOST).map((entry) => <Line key={entry.id} entry={entry} step={card.thing.step_48ths} />)}
      </ul>
      {more > 0 && <p class="hint">{n(more)`One more in the history.|# more in the history.`}</p>}
      {!press && !checks && changes.length === 0 && <p>{t`Nothing was changed on this screen since.`}</p>}
    </>
  );
}

/** @param {{card: any}} props */
export function SinceOkSheet({ card }) {
  const { store, context, things } = useApp();
  const { job, colour } = jobInHand(card.screen, context, things);
  const told = useLoaded(() => (job ? store.entriesOfFrame(job) : Promise.resolve([])), [job], (change) => change.stores.includes("entries") || change.stores.includes("outbox"));
  if (!told || !job || !colour) return null;
  const sheet = sheetOf(told, colour);
  return (
    <section class="since">
      {sheet ? (
        <>
          <h2>{t`Changed since the OK sheet was signed`}</h2>
          <Since card={card} sheet={sheet} />
        </>
      ) : <p class="hint">{t`No signed OK sheet of this colour on this phone.`}</p>}
      <p class="hint">{t`Not in the log: squeegee, ink, sheet lot, climate. Ask.`}</p>
    </section>
  );
}
