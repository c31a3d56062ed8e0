/** Views about a frame open on its card's data; a frame this phone does not know is said so. */
import { parseCode } from "../../shared/codes.js";
import { rich, t } from "../../shared/language.js";
import { useApp } from "../ui/app.js";
import { useFrame } from "../ui/forms.js";
import { Action, Page } from "../ui/page.jsx";

/** @param {{code: string}} props */
function Unknown({ code }) {
  const { router, sync } = useApp();
  let remedy = t`Ask the manager to add it in the office, then update this phone.`;
  try {
    parseCode(code);
  } catch (error) {
    remedy = /** @type {Error} */ (error).message;
  }
  return (
    <Page
      title={code} sub={t`Not in this phone’s list`}
      foot={(
        <>
          <Action onClick={() => sync.kick("hand")}>{t`Update now`}</Action>
          <Action go onClick={() => router.swap("scan")}>{t`Scan again`}</Action>
        </>
      )}
    >
      <p class="lead">{rich`This phone does not know a frame ${<b>{code}</b>}.`}</p>
      <p>{remedy}</p>
    </Page>
  );
}

/**
 * @param {(props: {card: any, code: string, arg: string | null}) => any} View
 * @returns {(props: {code: string | null, arg: string | null}) => any}
 */
export function withFrame(View) {
  return function Gate({ code, arg }) {
    const card = useFrame(code);
    if (card === undefined) return <Page title={code ?? ""}><p class="hint">{t`Opening…`}</p></Page>;
    if (card === null) return <Unknown code={code ?? ""} />;
    return <View card={card} code={/** @type {string} */ (code)} arg={arg} />;
  };
}
