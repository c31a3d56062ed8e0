/** What readings, and the model between them, say of a new mesh's corners: which end bolts to ease. */
import { t } from "../../../shared/language.js";
import { useApp } from "../../ui/app.js";
import { useAdvice } from "../plan/use_advice.js";

/** Asked for at that step alone, once something was read. @param {any} card @param {import("./progress.js").Fitting | undefined} fitting */
export function useEasing(card, fitting) {
  const read = fitting?.at === "corners" && card.screen?.checks.bare;
  return useAdvice(card, read && fitting ? { question: "cornerPlan", view: fitting.view, options: { purpose: "stretch" } } : null);
}

/** @param {{card: any, code: string, easing: {answer: any, trouble: string}, onLeave: () => void}} props */
export function Corners({ card, code, easing, onLeave }) {
  const { router } = useApp();
  const { answer, trouble } = easing;
  const read = card.screen?.checks.bare;
  const again = <button type="button" class="plain" onClick={() => router.go("check", { code })}>{t`Check`}</button>;
  if (!read) return <div class="line"><span class="lead">{t`Not read yet.`}</span>{again}</div>;
  return (
    <>
      {!answer && !trouble && <p class="hint" role="status">{t`Working it out…`}</p>}
      {trouble && <p class="problem" role="alert">{trouble}</p>}
      {answer && <p class="lead">{answer.message}</p>}
      {answer?.status === "ease" ? <button type="button" class="plain" onClick={onLeave}>{t`Leave the bolts`}</button> : again}
    </>
  );
}
