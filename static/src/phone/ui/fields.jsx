import { useId } from "preact/hooks";

/** @param {{label: string, value: string, onChange: (text: string) => void, hint?: string, problem?: string, unit?: string, whole?: boolean, signed?: boolean}} props */
export function NumberField({ label, value, onChange, hint, problem, unit, whole, signed }) {
  const id = useId();
  return (
    <div class={`field${problem ? " has-problem" : ""}`}>
      <label for={id}>{label}</label>
      <div class="field-row">
        <input
          id={id} type="text" inputMode={signed ? "text" : whole ? "numeric" : "decimal"} autocomplete="off" value={value}
          aria-describedby={`${id}-more`} aria-invalid={Boolean(problem)}
          onInput={(event) => onChange(event.currentTarget.value)}
        />
        {unit && <span class="unit">{unit}</span>}
      </div>
      {(problem || hint) && <p id={`${id}-more`} class={problem ? "problem" : "hint"}>{problem || hint}</p>}
    </div>
  );
}

/** @param {{label: string, value: string, onChange: (text: string) => void, hint?: string, problem?: string, long?: boolean, code?: boolean, time?: boolean}} props */
export function TextField({ label, value, onChange, hint, problem, long, code, time }) {
  const id = useId();
  const shared = {
    id,
    value,
    autocomplete: "off",
    "aria-describedby": `${id}-more`,
    "aria-invalid": Boolean(problem),
    onInput: (/** @type {any} */ event) => onChange(event.currentTarget.value),
  };
  return (
    <div class={`field${problem ? " has-problem" : ""}`}>
      <label for={id}>{label}</label>
      {long ? <textarea rows={3} {...shared} /> : <input type={time ? "datetime-local" : "text"} {...shared} {.../** @type {any} */ (code ? { autocapitalize: "characters", spellcheck: false, class: "code-input" } : {})} />}
      {(problem || hint) && <p id={`${id}-more`} class={problem ? "problem" : "hint"}>{problem || hint}</p>}
    </div>
  );
}
