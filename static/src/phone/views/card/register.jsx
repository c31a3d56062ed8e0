/** What register work has left in this frame, and which job it serves. */
import { whenText } from "../../../shared/ages.js";
import { LOCALE, low, t } from "../../../shared/language.js";
import { boltsText } from "../../../shared/turns.js";
import { CAUSE, SEEN, VERDICT } from "../../../shared/words.js";
import { useApp, useNow } from "../../ui/app.js";
import { isOtherScreen, jobText } from "../../ui/in_hand.js";
import { turnsText } from "../../ui/sentences.js";

/** Turns still in the bars for register, with the way to take them out. @param {any} props */
export function RegisterTurns({ card, code }) {
  const { router } = useApp();
  const { screen, thing } = card;
  if (!screen || screen.ended || Object.keys(screen.register_turns).length === 0) return null;
  return (
    <section>
      <h2>{t`Turns in for register`}</h2>
      <div class="line">
        <span>{turnsText(screen.register_turns, thing.step_48ths)}</span>
        <button type="button" class="small" onClick={() => router.go("plan", { code, arg: "even_up" })}>{t`Even up`}</button>
      </div>
      <p class="hint">{t`Even up at reclaim: clean and dry, before degreasing.`}</p>
    </section>
  );
}

/** @param {any} props */
function Tweak({ entry, card, code }) {
  const { router, things } = useApp();
  const now = useNow();
  const { payload } = entry;
  const open = card.screen.tweaks.open.includes(entry.id);
  const isLast = card.screen.tweaks.last?.id === entry.id;
  const cause = isLast ? card.screen.tweaks.last.cause : payload.cause;
  const verdict = isLast && card.screen.tweaks.last.verdict;
  const facts = [
    payload.seen !== "skipped" && low(/** @type {any} */ (SEEN)[payload.seen]),
    things.name("colour", payload.colour),
    cause && t`cause: ${low(/** @type {any} */ (CAUSE)[cause])}`,
    verdict && t`after: ${low(/** @type {any} */ (VERDICT)[verdict])}`,
  ].filter(Boolean);
  const form = (/** @type {string} */ kind) => router.go("form", { code, arg: `${kind}:${entry.id}` });
  return (
    <li class="line">
      <span>
        <b>{whenText(entry.occurred_at, now)}</b> {boltsText(payload.bolts, card.thing.step_48ths) || t`no bolt turned`}
        {facts.length > 0 && <span class="soft"> · {facts.join(" · ")}</span>}
      </span>
      {open ? (
        <button type="button" class="small" onClick={() => form("after_marks")}>{t`After marks?`}</button>
      ) : (
        !cause && <button type="button" class="small" onClick={() => form("cause_found")}>{t`Cause?`}</button>
      )}
    </li>
  );
}

/** The last tweaks of this screen; one without after marks keeps asking for them. @param {any} props */
export function Tweaks({ card, code }) {
  const { screen } = card;
  if (!screen || screen.ended) return null;
  const tweaks = card.entries.filter((/** @type {any} */ entry) => entry.kind === "register_tweak" && !entry.voided && entry.screen === screen.screen);
  if (tweaks.length === 0) return null;
  return (
    <section>
      <h2>{tweaks.length > 1 ? t`Last of ${tweaks.length} tweaks` : t`Tweak`}</h2>
      <ul class="lines">{tweaks.slice(0, 3).map((/** @type {any} */ entry) => <Tweak key={entry.id} entry={entry} card={card} code={code} />)}</ul>
    </section>
  );
}

/** The screen in hand belongs to another job or colour than the one set here, or the one it repeats. @param {any} props */
export function WrongJob({ card }) {
  const { context, things } = useApp();
  const { screen } = card;
  if (!isOtherScreen(screen, context, things)) return null;
  const held = `${things.name("job", screen.job)}, ${things.name("colour", screen.colour)}`;
  return <p class="state bad"><b>{t`Another screen?`}</b> {t`This one is exposed for ${held}; this phone is set to ${jobText(context, things)}.`}</p>;
}

/** The next open job that wants this mesh, after the one it is exposed for. @param {any} props */
export function NextJob({ card }) {
  const { things } = useApp();
  const { screen } = card;
  // A stencil that is kept ties its screen to its job.
  if (!screen || screen.ended || things.get("job", screen.job)?.keep_stencils) return null;
  const wanted = new Set(things.list("colour").filter((colour) => colour.mesh === screen.mesh && colour.job !== screen.job).map((colour) => colour.job));
  const jobs = things.list("job").filter((job) => wanted.has(job.id) && !job.done && job.due);
  const next = jobs.sort((one, two) => one.due.localeCompare(two.due))[0];
  if (!next) return null;
  return (
    <section>
      <h2>{t`Next job for this mesh`}</h2>
      <p class="fact">{next.number} {next.title} <span class="soft">{t`due ${whenDue(next.due)}`}</span></p>
    </section>
  );
}

const whenDue = (/** @type {string} */ due) =>
  new Date(`${due}T12:00`).toLocaleDateString(LOCALE, { weekday: "short", day: "numeric", month: "short" });
