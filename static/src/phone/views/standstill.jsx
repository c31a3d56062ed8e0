/** Pages shown instead of the app where the browser cannot carry it: why, and what to do. */
import { rich, t } from "../../shared/language.js";

/** @param {{title: string, children: any}} props */
function Standstill({ title, children }) {
  return (
    <main class="standstill">
      <h1>{title}</h1>
      {children}
    </main>
  );
}

/** @param {{origin: string}} props */
export function Insecure({ origin }) {
  const secure = origin.startsWith("https:") ? origin : `https://${location.hostname}`;
  return (
    <Standstill title={t`This address is not secure`}>
      <p>
        {rich`You opened ${<b>{location.origin}</b>}. Browsers give the camera, offline work and safe keeping of entries only to pages on https, so Tautbook stops here: nothing you enter could be kept.`}
      </p>
      <ol>
        <li>{rich`Ask the manager for the shop’s https address. It usually is ${<a href={secure}>{secure}</a>}.`}</li>
        <li>{t`If the phone then warns about the certificate: the manager’s screen shows how this phone learns to trust the shop’s own authority.`}</li>
        <li>{t`Open that address and put it on the home screen.`}</li>
      </ol>
      <p class="hint">{t`Entries already saved on this phone under the right address are still there.`}</p>
    </Standstill>
  );
}

/** @param {{text: string}} props */
export function NoStorage({ text }) {
  return (
    <Standstill title={t`This phone cannot keep entries`}>
      <p>{text}</p>
      <button type="button" class="action go wide" onClick={() => location.reload()}>{t`Try again`}</button>
    </Standstill>
  );
}
