/** One frame: what it is, how it is, what to do with it next. */
import { useEffect } from "preact/hooks";

import { lieText } from "../../../shared/drawing/frame.jsx";
import { t } from "../../../shared/language.js";
import { meshText, sizeText, tensionText } from "../../../shared/units.js";
import { useApp } from "../../ui/app.js";
import { Drawing } from "../../ui/drawing.jsx";
import { hiddenHere, isOtherScreen, pressHere } from "../../ui/in_hand.js";
import { Action, Page } from "../../ui/page.jsx";
import { withRecent } from "../../ui/remembered.js";
import { withFrame } from "../gate.jsx";
import { BurstCaution } from "../no_mesh.jsx";
import { useLater } from "../later.jsx";
import { ConditionLine, OutlookLine, PlaceLine, StencilLine } from "./facts.jsx";
import { NextJob, RegisterTurns, Tweaks, WrongJob } from "./register.jsx";
import { isPrinting, nextAction } from "./next.js";

const FORM = (/** @type {string} */ kind) => ({ name: "form", arg: kind });

/** @param {any} props */
function Head({ card }) {
  const { things } = useApp();
  const { thing, screen } = card;
  const mesh = screen && things.get("mesh", screen.mesh);
  const facts = [
    mesh ? meshText(mesh, things.shop.count_unit) : t`no mesh`,
    sizeText(thing, things.shop.length_unit),
    thing.second_name && t`“${thing.second_name}”`,
  ];
  return (
    <>
      <h1 class="code">{thing.code}</h1>
      <p class="sub">{facts.filter(Boolean).join(" · ")}</p>
    </>
  );
}

/** The drawing with the last readings; the view is the one of this place. @param {any} props */
function LastReadings({ card }) {
  const app = useApp();
  const { context } = app;
  const { thing, screen, frame } = card;
  const view = { face: context.face, near: context.near };
  const check = screen?.last_check;
  return (
    <figure>
      <Drawing
        frame={thing} view={view} maxHeight={330} spots={check?.spots ?? []} target={screen?.target_n_per_cm} tolerance={screen?.tolerance_n_per_cm}
        hidden={hiddenHere(card, view, app)} states={frame.bolts}
      />
      <figcaption>
        {lieText(view)}
        {check && `. ${t`Target ${tensionText(screen.target_n_per_cm)} ± ${tensionText(screen.tolerance_n_per_cm)} N/cm. The small meter beside a number: how it lay.`}`}
      </figcaption>
    </figure>
  );
}

/** What is done every day: on press for register, beside it for tension; nobody has to say first that a screen came to the press. @param {any} screen @param {string | null} press */
function usualActions(screen, press) {
  const check = { name: "check", text: t`Check` };
  if (press) return [check, { name: "tweak", text: t`Tweak` }, { name: "register", text: t`Register` }];
  const read = screen.checks.bare || screen.checks.coated;
  return [check, read ? { name: "plan", arg: "tension", text: t`Plan the turns` } : { name: "turns", text: t`Turn bolts` }];
}

/** What came of the last plan. @param {any} props */
function LastRound({ card }) {
  const { context } = useApp();
  const Outcome = useLater("outcome");
  return Outcome ? <Outcome card={card} view={{ face: context.face, near: context.near }} /> : null;
}

/** @param {any} props */
function Card({ card, code }) {
  const { router, context, things, remember } = useApp();
  const { thing, screen } = card;
  const live = screen && !screen.ended ? screen : null;
  useEffect(() => {
    remember({ recent: withRecent(context.recent, thing.id) });
  }, [thing.id]);
  const press = pressHere(card, context);
  const next = nextAction(card, { press, away: Boolean(context.press) && !press, other: isOtherScreen(live, context, things) });
  const open = (/** @type {{name: string, arg?: string}} */ to) => router.go(to.name, { code, arg: to.arg ?? null });
  const button = (/** @type {{name: string, arg?: string, text: string}} */ to) => (
    <Action key={to.text} go={to.text === next?.text} onClick={() => open(to)}>{to.text}</Action>
  );
  const usual = live ? usualActions(live, press || (isPrinting(live) ? context.press : null)) : [];
  const extra = usual.some((to) => to.text === next?.text) ? null : next;
  return (
    <Page
      name="card" columns={usual.length === 2 ? 3 : 2}
      foot={(
        <>
          {extra && <Action wide go onClick={() => open(extra)}>{extra.text}</Action>}
          {usual.map(button)}
          <Action wide={usual.length === 0} onClick={() => open({ name: "more" })}>{t`More`}</Action>
        </>
      )}
    >
      <Head card={card} />
      <ConditionLine card={card} />
      <BurstCaution card={card} />
      <OutlookLine card={card} />
      <PlaceLine card={card} />
      <StencilLine card={card} />
      <WrongJob card={card} />
      <LastReadings card={card} />
      <LastRound card={card} />
      <RegisterTurns card={card} code={code} />
      <Tweaks card={card} code={code} />
      <NextJob card={card} />
      <nav class="links" aria-label={t`More of this frame`}>
        <button type="button" onClick={() => open({ name: "history" })}>{t`History`}</button>
        {live && <button type="button" onClick={() => open(FORM("note"))}>{t`Add a note`}</button>}
      </nav>
    </Page>
  );
}

export const CardView = withFrame(Card);
