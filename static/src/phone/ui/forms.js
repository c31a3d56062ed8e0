/** What all forms do: open a draft, keep what is half filled in, save it or put right what is saved. */
import { useEffect, useMemo, useState } from "preact/hooks";

import { t } from "../../shared/language.js";
import { newCorrection, newDraft } from "../entries/index.js";
import { touchesFrames, useApp, useLoaded } from "./app.js";

const STALE_MS = 12 * 3_600_000;
// Storage that does not answer must not hold up hands on a spanner for long.
const SURE = { patience: 2_000, durability: "strict" };

/** A frame's card by the code in the address: undefined while reading, null when unknown here. @param {string | null} code */
export function useFrame(code) {
  const { store, frames } = useApp();
  return useLoaded(
    async () => {
      const thing = code ? await store.frameByCode(code) : null;
      return thing ? frames.frameView(thing.id) : null;
    },
    [code],
    touchesFrames,
  );
}

/**
 * The draft of a form, made when it opens, and how it is saved.
 * @param {string} kind
 * @param {any} card  frameView, or null for entries about no frame
 * @param {any} [correcting]  the saved entry that this form puts right
 */
export function useSubmit(kind, card, correcting = null) {
  const { context, save, scanned } = useApp();
  const draft = useMemo(() => newDraft({ kind }), [kind, correcting?.id]);

  /**
   * @param {any} payload
   * @param {{text: string, caution?: string, stay?: boolean}} said
   * @param {{draft?: any, subject?: any, occurred_at?: string}} [more]
   */
  return (payload, said, more = {}) => {
    if (correcting) {
      const occurred_at = more.occurred_at ?? correcting.occurred_at;
      const put = newCorrection(correcting, { payload, occurred_at }, context.operator);
      return save({ ...put, id: draft.id }, { ...said, text: t`Put right: ${said.text}` });
    }
    const label = scanned && card && scanned.code === card.thing.code ? scanned.text : null;
    const filled = newDraft({
      id: more.draft?.id ?? draft.id,
      kind,
      operator: context.operator,
      // What is about a meter is not about the frame that lies under it.
      frame: more.subject ? null : (card?.thing.id ?? null),
      screen: more.subject || !card?.screen || card.screen.ended ? null : card.screen.screen,
      subject: more.subject ?? null,
      scanned: label,
      payload,
    });
    return save(filled, said);
  };
}

/**
 * Keeps a draft and shows it only then, for what hands have done: a bolt whose tick was lost would
 * be turned twice. Where storage fails it is shown all the same, and the person is told.
 * @param {any} app @param {any} draft @param {() => void} show
 */
export async function keepSurely({ store, notify }, draft, show) {
  await store.drafts.keep(draft, SURE).catch((/** @type {Error} */ error) => notify({ sort: "trouble", text: error.message }));
  show();
}

/**
 * Values of a form that survive a locked screen or a killed app.
 * @template T
 * @param {string} kind @param {any} card @param {() => T} initial @param {any} correcting
 * @param {(values: T) => boolean} [same]  is what was kept the form that is wanted now?
 * @returns {{values: T, set: (next: T) => void, sure: (next: T) => Promise<void>, draft: any, resumed: boolean, restart: () => void} | null}
 */
export function useKept(kind, card, initial, correcting, same = () => true) {
  const app = useApp();
  const { store } = app;
  const [kept, setKept] = useState(/** @type {any} */ (null));
  const frame = card.thing.id;
  const screen = card.screen?.screen ?? null;

  const fresh = () => ({ draft: newDraft({ kind, frame, screen }), values: initial(), resumed: false });
  useEffect(() => {
    if (correcting) return setKept(fresh());
    store.drafts.all().then((/** @type {any[]} */ all) => {
      const found = all.findLast((one) => one.kind === kind && one.frame === frame && one.screen === screen && same(one.form));
      const young = found && Date.now() - found.kept_at < STALE_MS;
      if (found && !young) store.drafts.drop(found.id);
      setKept(young ? { draft: found, values: found.form, resumed: true } : fresh());
    });
  }, [kind, frame, screen]);

  if (!kept) return null;
  return {
    ...kept,
    set(values) {
      setKept({ ...kept, values });
      if (!correcting) store.drafts.keep({ ...kept.draft, form: values, kept_at: Date.now() });
    },
    sure: (values) => keepSurely(app, { ...kept.draft, form: values, kept_at: Date.now() }, () => setKept({ ...kept, values })),
    restart() {
      store.drafts.drop(kept.draft.id);
      setKept(fresh());
    },
  };
}
