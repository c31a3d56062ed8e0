/** The fitting of a frame that is under way on this phone, kept through locked screens and reloads. */
import { useEffect, useState } from "preact/hooks";

import { newDraft } from "../../entries/index.js";
import { useApp } from "../../ui/app.js";
import { keepSurely } from "../../ui/forms.js";
import { begin } from "./progress.js";

/** Mesh may rest over a weekend, and the work goes on. */
const STALE_MS = 14 * 24 * 3_600_000;
const KIND = "stretch_step";

/** @param {any} draft @param {string} frame */
const isOf = (draft, frame) => draft.kind === KIND && draft.frame === frame && draft.form && Date.now() - draft.kept_at < STALE_MS;

/** Whether the mesh of a fitting has burst or is off the frame again. @param {any} form @param {any} card */
const isOver = ({ screen }, card) =>
  screen in card.screens && Boolean(card.screens[screen].ended || card.screen?.screen !== screen);

/**
 * @param {any} card @param {string[]} names  of the steps @param {any} values  to begin with
 * @returns {{fitting: import("./progress.js").Fitting, set: (next: import("./progress.js").Fitting) => void, sure: (next: import("./progress.js").Fitting) => Promise<void>, drop: () => Promise<void>} | null}
 */
export function useFitting(card, names, values) {
  const app = useApp();
  const { store, context } = app;
  const [kept, setKept] = useState(/** @type {any} */ (null));
  const frame = card.thing.id;

  useEffect(() => {
    store.drafts.all().then((/** @type {any[]} */ all) => {
      const found = all.findLast((one) => isOf(one, frame) && names.includes(one.form.at) && !isOver(one.form, card));
      const view = { face: context.face, near: context.near };
      setKept(found ?? { ...newDraft({ kind: KIND, frame }), form: begin(names, view, values) });
    });
  }, [frame]);

  if (!kept) return null;
  return {
    fitting: kept.form,
    set(form) {
      const next = { ...kept, form, kept_at: Date.now() };
      setKept(next);
      store.drafts.keep(next);
    },
    sure(form) {
      const next = { ...kept, form, kept_at: Date.now() };
      return keepSurely(app, next, () => setKept(next));
    },
    drop: () => store.drafts.drop(kept.id),
  };
}
