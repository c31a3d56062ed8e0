/** Views of a bundle that comes when one of them is opened. */
import { useEffect, useState } from "preact/hooks";

import { t } from "../../shared/language.js";
import { useApp } from "../ui/app.js";
import { bundle } from "../ui/bundle.js";
import { Page } from "../ui/page.jsx";

const NAME = "tautbookLater";

/** @param {string} view @returns {any} undefined until its bundle is there, null if it cannot be had */
export function useLater(view) {
  const { addresses } = useApp();
  const [views, setViews] = useState(/** @type {any} */ (globalThis)[NAME]);
  useEffect(() => {
    bundle(addresses.later, NAME).then(setViews, () => setViews(null));
  }, []);
  return views && views[view];
}

/** @param {string} view @returns {(props: {code: string | null, arg: string | null}) => any} */
export function later(view) {
  return function Later(props) {
    const View = useLater(view);
    if (View) return <View {...props} />;
    return (
      <Page title={props.code ?? ""}>
        <p class="hint">{View === null ? t`This part is not on this phone yet. Go on the network once.` : t`Opening…`}</p>
      </Page>
    );
  };
}
