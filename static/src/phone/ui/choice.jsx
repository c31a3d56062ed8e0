/** One of a few, as large buttons; pressed again it is taken back where nothing must be chosen. */

/**
 * @param {object} props
 * @param {string} props.label
 * @param {Record<string, string> | {value: string, text: string, sub?: string}[]} props.options
 * @param {string | null} props.value
 * @param {(value: any) => void} props.onChange
 * @param {boolean} [props.optional]
 * @param {1 | 2 | 3 | 4 | 5} [props.columns]  5: short numbers, as many as fit
 * @param {boolean} [props.hideLabel]
 */
export function Choice({ label, options, value, onChange, optional = false, columns = 2, hideLabel = false }) {
  const list = Array.isArray(options) ? options : Object.entries(options).map(([key, text]) => ({ value: key, text, sub: undefined }));
  return (
    <fieldset class="choice">
      <legend class={hideLabel ? "visually-hidden" : ""}>{label}</legend>
      <div class={`options of-${columns}`}>
        {list.map((option) => {
          const chosen = option.value === value;
          return (
            <button
              key={option.value} type="button" class="option" aria-pressed={chosen} data-value={option.value}
              onClick={() => onChange(chosen && optional ? null : option.value)}
            >
              <span>{option.text}</span>
              {option.sub && <small>{option.sub}</small>}
            </button>
          );
        })}
      </div>
    </fieldset>
  );
}
