import { CAUTIONS } from "../../shared/cautions.js";
import { useApp, useLoaded } from "./app.js";

/** Cautions stand where hands go and need no tap to be rid of. @param {{of: (keyof typeof CAUTIONS)[]}} props */
export function Caution({ of }) {
  if (of.length === 0) return null;
  return (
    <div class="caution" role="note">
      {of.map((name) => <p key={name}>{CAUTIONS[name]}</p>)}
    </div>
  );
}

/** Before bolts are turned: on press, with the spanner, on a stencil; and whether this phone may. @param {{screen: any}} props */
export function TurningCaution({ screen }) {
  const { store, context } = useApp();
  const device = useLoaded(() => store.meta.get("device"), [], (change) => change.stores.includes("meta"));
  const onStencil = screen && screen.stencil !== "bare";
  return (
    <>
      <Caution of={[...(context.press ? /** @type {const} */ (["on_press"]) : []), "turning", ...(onStencil ? /** @type {const} */ (["stencil_on"]) : [])]} />
      {onStencil && device?.scope?.may_turn_with_stencil === false && (
        <p class="state bad">Ask the screen room first: this phone is not set up for turning with a stencil on.</p>
      )}
    </>
  );
}
