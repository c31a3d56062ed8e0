/** A label scanned opens its frame's card. A label is only ever read: never opened as an address. */
import { useState } from "preact/hooks";

import { rich, t } from "../../shared/language.js";
import { useApp } from "../ui/app.js";
import { Action, Page } from "../ui/page.jsx";
import { Scanner } from "../ui/scanner.jsx";
import { readLabel } from "./labels.js";

export function ScanView() {
  const { store, router, addresses, setScanned } = useApp();
  const [said, setSaid] = useState(/** @type {{problem?: string, foreign?: string, code?: string} | null} */ (null));

  function open(/** @type {string} */ code, /** @type {string} */ text) {
    setScanned({ code, text });
    router.swap("card", { code });
  }

  async function read(/** @type {string} */ text) {
    const found = await readLabel(store, text, addresses.origin);
    if (found.code && !found.foreign) open(found.code, text);
    else setSaid({ ...found, ...(found.code ? { text } : {}) });
  }

  return (
    <Page
      title={t`Scan`} name="scan"
      foot={(
        <>
          <Action onClick={() => router.swap("type")}>{t`Type a code`}</Action>
          <Action onClick={() => router.swap("pick")}>{t`By place`}</Action>
        </>
      )}
    >
      <Scanner onText={read} hint={t`Hold the label inside the corners.`} />
      {said?.problem && <p class="state bad" role="alert">{said.problem}</p>}
      {said?.foreign && (
        <div class="note" role="alert">
          <p>{rich`An old label, made for ${said.foreign}. Here it is frame ${<b>{said.code}</b>}, if that is what the frame says.`}</p>
          <button type="button" onClick={() => open(/** @type {string} */ (said.code), /** @type {any} */ (said).text)}>{t`Open it`}</button>
        </div>
      )}
    </Page>
  );
}
