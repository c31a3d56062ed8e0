import { CONDITION } from "./words.js";

/** A condition is always word, shape and colour; shapes differ in black and white. */
const SHAPES = {
  holding: <circle cx="10" cy="10" r="9" />,
  low: <path d="M1 3H19L10 19Z" />,
  high: <path d="M10 1L19 17H1Z" />,
  uneven: (
    <>
      <path class="hollow" d="M10 1L19 10L10 19L1 10Z" />
      <path d="M10 1V19L1 10Z" />
    </>
  ),
  due: <path d="M2 1H18L2 19H18Z" />,
  resting: <path d="M1 10a9 9 0 0 1 18 0Z" />,
  unknown: <circle class="hollow" cx="10" cy="10" r="8" />,
};

/** @typedef {keyof typeof SHAPES} ConditionWord */

/** @param {{word: ConditionWord}} props */
export function ConditionWordAndShape({ word }) {
  return (
    <span class={`condition ${word}`}>
      <svg viewBox="0 0 20 20" aria-hidden="true" focusable="false">{SHAPES[word]}</svg>
      {CONDITION[word]}
    </span>
  );
}
