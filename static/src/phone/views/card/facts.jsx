/** Facts of a card, one sentence each. */
import { agoText, forText } from "../../../shared/ages.js";
import { ConditionWordAndShape } from "../../../shared/conditions.jsx";
import { t } from "../../../shared/language.js";
import { countText } from "../../../shared/units.js";
import { STENCIL } from "../../../shared/words.js";
import { useApp, useNow } from "../../ui/app.js";
import { outlookText } from "./outlook.js";

/** @param {any} props */
export function ConditionLine({ card }) {
  const { thing, screen, frame, condition } = card;
  const now = useNow();
  if (frame.awaiting_removal) return <p class="state bad"><b>{t`Burst.`}</b> {t`The torn mesh is still on the frame.`}</p>;
  if (thing.retired) return <p class="state bad"><b>{t`Out of use.`}</b> {t`The office has retired this frame.`}</p>;
  if (!screen || screen.ended) return <p class="state">{t`No mesh on this frame.`}</p>;
  const check = screen.last_check;
  return (
    <p class="state">
      <ConditionWordAndShape word={condition.word} />
      <span>{condition.reason}{check && <span class="soft">{` ${t`Read ${agoText(check.at, now)}.`}`}</span>}</span>
    </p>
  );
}

/** What the forecast says: when to coat, how long it holds; a jump of the last check first. @param {any} props */
export function OutlookLine({ card }) {
  const now = useNow();
  const { forecast, screen } = card;
  if (!forecast || !screen || screen.ended) return null;
  const jump = forecast.jumps.find((/** @type {any} */ j) => j.check === screen.last_check.id);
  if (jump) return <p class="state bad"><b>{t`Jump.`}</b> {jump.message}</p>;
  const doubted = forecast.doubted?.find((/** @type {any} */ d) => d.check === screen.last_check.id);
  if (doubted) return <p class="state bad"><b>{t`Meter out.`}</b> {doubted.message}</p>;
  const said = outlookText(forecast, now);
  return said ? <p class="fact">{said}</p> : null;
}

/** @param {any} place @param {any} things */
export function placeText(place, things) {
  if (!place) return t`Place not known`;
  const press = [things.name("press", place.press), place.station && t`station ${place.station}`].filter(Boolean).join(", ");
  const text = { rack: place.rack ? t`Rack ${place.rack}` : t`In the rack`, press, repair: t`Out for repair`, lost: t`Lost`, scrapped: t`Scrapped` };
  return /** @type {Record<string, string>} */ (text)[place.to] || t`At a press`;
}

/** @param {any} props */
export function PlaceLine({ card }) {
  const { things } = useApp();
  const now = useNow();
  const { place } = card.frame;
  return <p class="fact">{placeText(place, things)}{place && <span class="soft"> {forText(place.since, now)}</span>}</p>;
}

/** @param {any} props */
export function StencilLine({ card }) {
  const { things } = useApp();
  const { screen } = card;
  if (!screen || screen.ended) return null;
  const job = things.get("job", screen.job);
  const colour = things.name("colour", screen.colour);
  const prints = screen.impressions ? t`${countText(screen.impressions)} impressions` : "";
  const on = job ? t`for ${job.number} ${colour}` + (job.keep_stencils ? `, ${t`kept for a repeat`}` : "") : "";
  return <p class="fact">{t`Stencil ${STENCIL[/** @type {keyof typeof STENCIL} */ (screen.stencil)]} ${[on, prints].filter(Boolean).join(" · ")}`}</p>;
}
