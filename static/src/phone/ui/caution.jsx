import { CAUTIONS } from "../../shared/cautions.js";
import { t } from "../../shared/language.js";
import { useApp, useLoaded } from "./app.js";
import { isOnPress } from "./in_hand.js";

/** Cautions stand where hands go and need no tap to be rid of. @param {{of: (keyof typeof CAUTIONS)[]}} props */
export function Caution({ of }) {
  if (of.length === 0) return null;
  return (
    <div class="caution" role="note">
      {of.map((name) => <p key={name}>{CAUTIONS[name]}</p>)}
    </div>
  );
}

/** Who may say yes where this phone or this person may not. @param {{context: any, things: any}} app */
function WhoMay({ context, things }) {
  const may = things.list("operator").filter((/** @type {any} */ one) => one.may_turn_with_stencil);
  if (may.some((/** @type {any} */ one) => one.id === context.operator)) return null;
  const names = may.map((/** @type {any} */ one) => one.name).join(", ");
  return <p class="state bad">{t`A stencil is on: ask ${names || t`the screen room`} first. The office sees turns made without.`}</p>;
}

/** Before bolts are turned: on press, with the spanner, on a stencil; and whether this phone may. @param {{card: any, press?: string | null}} props `press` where turning is done on one for certain */
export function TurningCaution({ card, press = null }) {
  const { store, context, things } = useApp();
  const { screen } = card;
  const device = useLoaded(() => store.meta.get("device"), [], (change) => change.stores.includes("meta"));
  const onStencil = screen && screen.stencil !== "bare";
  return (
    <>
      <Caution of={[...(press || isOnPress(card, context) ? /** @type {const} */ (["on_press"]) : []), "turning", ...(onStencil ? /** @type {const} */ (["stencil_on"]) : [])]} />
      {onStencil && device?.scope?.may_turn_with_stencil === false && <WhoMay context={context} things={things} />}
    </>
  );
}
