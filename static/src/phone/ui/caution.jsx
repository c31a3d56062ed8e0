import { CAUTIONS } from "../../shared/cautions.js";

/** Cautions stand where hands go and need no tap to be rid of. @param {{of: (keyof typeof CAUTIONS)[]}} props */
export function Caution({ of }) {
  if (of.length === 0) return null;
  return (
    <div class="caution" role="note">
      {of.map((name) => <p key={name}>{CAUTIONS[name]}</p>)}
    </div>
  );
}
