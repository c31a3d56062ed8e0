/** Number keys for gloves; a keyboard works too, with decimal comma or point. */
import { useEffect, useRef } from "preact/hooks";

import { t } from "../../shared/language.js";

const DIGITS = ["1", "2", "3", "4", "5", "6", "7", "8", "9"];

/** @param {{onKey: (key: string) => void, left: string, leftName: string, few?: boolean}} props `left` is the key beside 0; `few`: no more digits are wanted */
export function Keypad({ onKey, left, leftName, few = false }) {
  const heard = useRef(onKey);
  heard.current = onKey;
  useEffect(() => {
    const type = (/** @type {KeyboardEvent} */ event) => {
      if (event.ctrlKey || event.metaKey || event.altKey) return;
      const target = /** @type {HTMLElement} */ (event.target);
      if (target.matches("input, textarea, select")) return;
      const key = event.key === "Backspace" ? "back" : event.key === "." || event.key === "," ? left : event.key;
      if (/^\d$/.test(key) || key === "back" || key === left) {
        event.preventDefault();
        heard.current(key);
      }
    };
    window.addEventListener("keydown", type);
    return () => window.removeEventListener("keydown", type);
  }, [left]);
  const key = (/** @type {string} */ value, name = value) => (
    <button key={value} type="button" data-key={value} aria-label={name} onClick={() => onKey(value)}>
      {value === "back" ? <>⌫<small>{t`back`}</small></> : value}
    </button>
  );
  return (
    <div class={few ? "keypad is-few" : "keypad"}>
      {!few && DIGITS.map((digit) => key(digit))}
      {key(left, leftName)}
      {!few && key("0")}
      {key("back", t`Step back`)}
    </div>
  );
}
