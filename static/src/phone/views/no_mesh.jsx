/** In place of a page about a mesh, where none is on the frame, or a torn one. */
import { t } from "../../shared/language.js";
import { useApp } from "../ui/app.js";
import { Caution } from "../ui/caution.jsx";
import { isOnPress } from "../ui/in_hand.js";
import { Action, Page } from "../ui/page.jsx";

/** Before reaching for a torn mesh in a machine. @param {{card: any}} props */
export function BurstCaution({ card }) {
  const { context } = useApp();
  return card.frame.awaiting_removal && isOnPress(card, context) ? <Caution of={["burst"]} /> : null;
}

/** @param {{card: any, code: string}} props */
export function NoMesh({ card, code }) {
  const { router } = useApp();
  const torn = card.frame.awaiting_removal;
  return (
    <Page title={code} foot={torn && <Action go wide onClick={() => router.swap("form", { code, arg: "mesh_removed" })}>{t`Mesh removed`}</Action>}>
      <p class={torn ? "state bad" : ""}>{torn ? t`The mesh burst: take it off.` : t`No mesh on this frame.`}</p>
      <BurstCaution card={card} />
    </Page>
  );
}
