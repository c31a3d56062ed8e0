/** Asks for advice, worked out on the phone itself from what it holds. */
import { useEffect, useState } from "preact/hooks";

import { t } from "../../../shared/language.js";
import { useApp } from "../../ui/app.js";
import { bundle } from "../../ui/bundle.js";
import { pressHere } from "../../ui/in_hand.js";
import { requestOf } from "./request.js";

/** So that the page says what it is doing before it does it. */
const BREATH_MS = 40;
const ABSENT = t`What works plans out is not on this phone yet. Go on the network once.`;

/**
 * @typedef {"tensionPlan" | "registerPlan" | "evenUp" | "cornerPlan"} Question
 *
 * @typedef {object} Ask
 * @property {Question} question
 * @property {import("../../../shared/types.js").View} view
 * @property {Record<string, any>} options @property {Record<string, any>} [more]  beside the common request
 */

/**
 * @param {any} card @param {Ask | null} ask  null: nothing to ask yet
 * @returns {{answer: any, trouble: string}} answer null until it is there
 */
export function useAdvice(card, ask) {
  const app = useApp();
  const { store, things, addresses, context } = app;
  const [state, setState] = useState({ answer: /** @type {any} */ (null), trouble: "" });
  const key = ask && JSON.stringify([ask, card.screen?.last, card.frame.place]);

  useEffect(() => {
    if (!ask) return;
    let current = true;
    setState({ answer: null, trouble: "" });
    work(ask).then(
      (answer) => current && setState({ answer, trouble: "" }),
      (error) => current && setState({ answer: null, trouble: error.message }),
    );
    return () => {
      current = false;
    };
  }, [key]);

  /** @param {Ask} asked */
  async function work({ question, view, options, more = {} }) {
    const [advice, entries, estimate] = await Promise.all([
      bundle(addresses.advice, "tautbookAdvice").catch(() => { throw new Error(ABSENT); }),
      store.entriesOfFrame(card.thing.id),
      store.state("estimate", card.screen.screen),
    ]);
    const press = things.get("press", question === "registerPlan" ? context.press : pressHere(card, context));
    const request = { ...requestOf({ card, things, press, entries, estimate, view }, options), ...more };
    await new Promise((go) => setTimeout(go, BREATH_MS));
    return advice[question](request);
  }

  return state;
}
