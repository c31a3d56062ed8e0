/** What this phone is to the shop, and which language it speaks. */
import { useState } from "preact/hooks";

import { stampText } from "../../shared/ages.js";
import { t } from "../../shared/language.js";
import { useApp, useLoaded } from "../ui/app.js";
import { Choice } from "../ui/choice.jsx";
import { Page } from "../ui/page.jsx";

/** Each called in its own words, so that whoever took the wrong one finds back. */
const LANGUAGES = [{ value: "en", text: "English" }, { value: "de", text: "Deutsch" }];
const OF_SHOP = "";

/** A choice is kept by the server, which hands out the app in that language: it takes the network once. */
function Language() {
  const { store, server, updates, notify } = useApp();
  const chosen = useLoaded(async () => (await store.meta.get("language")) ?? OF_SHOP, []);
  const [busy, setBusy] = useState(false);
  if (chosen === undefined) return null;

  async function choose(/** @type {string} */ language) {
    if (busy) return;
    setBusy(true);
    try {
      await server.speak(language);
      await store.meta.set("language", language);
      await updates.renew();
    } catch (error) {
      notify({ sort: "trouble", text: /** @type {Error} */ (error).message });
      setBusy(false);
    }
  }

  return (
    <>
      <Choice label={t`Language`} options={[{ value: OF_SHOP, text: t`As in the shop` }, ...LANGUAGES]} value={chosen} onChange={choose} />
      <p class="hint" role="status">{busy ? t`The app is fetched anew…` : t`A change needs the network once.`}</p>
    </>
  );
}

export function ThisPhoneView() {
  const { store, things, addresses } = useApp();
  const about = useLoaded(() => Promise.all([store.meta.get("device"), store.meta.get("last_sync_at")]), []);
  if (!about) return null;
  const [device, synced] = about;
  /** @type {[string, string][]} */
  const facts = [
    [t`Name`, device?.label ?? t`not enrolled`],
    [t`Shop`, things.shop.name],
    [t`Last sync`, synced ? stampText(synced) : ""],
    [t`App`, addresses.app],
  ];
  return (
    <Page title={t`This phone`} name="this-phone">
      <Language />
      <dl class="facts">{facts.filter(([, value]) => value).map(([name, value]) => <div key={name}><dt>{name}</dt><dd>{value}</dd></div>)}</dl>
    </Page>
  );
}
