/** Lets this phone in: scan the manager's symbol inside the app, or type its eight characters. */
import { useEffect, useState } from "preact/hooks";

import { rich, t } from "../../shared/language.js";
import { useApp } from "../ui/app.js";
import { TextField } from "../ui/fields.jsx";
import { Action, Page } from "../ui/page.jsx";
import { Scanner } from "../ui/scanner.jsx";
import { readToken } from "./labels.js";

const ASK_MS = 2000;
const TYPED = /^[0-9A-Z]{8}$/;

/** "Android phone, installed app": what the manager sees beside the number. */
function about() {
  const agent = navigator.userAgent;
  const what = /iPad|Tablet/.test(agent) ? t`tablet` : /Mobi|Android|iPhone/.test(agent) ? t`phone` : t`computer`;
  const system = /iPhone|iPad/.test(agent) ? "Apple" : /Android/.test(agent) ? "Android" : /Windows/.test(agent) ? "Windows" : t`Linux or Mac`;
  const installed = matchMedia("(display-mode: standalone)").matches ? t`installed app` : t`browser tab`;
  return `${system} ${what}, ${installed}`;
}

/** Asks again and again until the manager has typed the number. @param {string | undefined} claim @param {(answer: any) => void} onDone */
function usePolled(claim, onDone) {
  const { server } = useApp();
  useEffect(() => {
    if (!claim) return;
    let current = true;
    async function ask() {
      const answer = await server.poll(claim).catch(() => ({ status: "waiting" }));
      if (!current) return;
      if (answer.status === "waiting") setTimeout(ask, ASK_MS);
      else onDone(answer);
    }
    ask();
    return () => {
      current = false;
    };
  }, [claim]);
}

/** @param {any} props */
function Waiting({ claim }) {
  return (
    <div class="claim" role="status">
      <p>{rich`Show this number to the manager of ${<b>{claim.shop || t`this shop`}</b>}, who types it in:`}</p>
      <p class="claim-number">{claim.number}</p>
      <p class="hint">{t`This page goes on by itself.`}</p>
    </div>
  );
}

const OVER = {
  expired: t`The time is over. Ask the manager for a new symbol.`,
  refused: t`The manager said no to this phone, or the number was wrong. Ask for a new symbol.`,
};

/** Asks to be let in, waits for the manager, and goes on when the answer is yes. */
function useClaim() {
  const { server, store, sync, router, addresses, remember } = useApp();
  const [problem, setProblem] = useState("");
  const [claim, setClaim] = useState(/** @type {any} */ (null));

  async function ask(/** @type {{token?: string, code?: string}} */ key) {
    setProblem("");
    try {
      const install_id = await store.meta.get("install_id");
      setClaim(await server.claim({ ...key, install_id, about: { device: about(), app: addresses.app } }));
    } catch (error) {
      setProblem(/** @type {Error} */ (error).message);
    }
  }

  usePolled(claim?.claim, async (/** @type {any} */ answer) => {
    setClaim(null);
    if (answer.status !== "approved") return setProblem(OVER[/** @type {keyof typeof OVER} */ (answer.status)] ?? OVER.expired);
    await store.meta.set("device", answer.device ?? {});
    // A tablet that belongs to a press works there from the start.
    if (answer.device?.scope?.press) remember({ place: answer.device.scope.press });
    sync.kick("hand");
    router.swap("context");
  });
  return { claim, ask, problem, setProblem };
}

/** @param {{onEnrol: () => void}} props */
function InBrowser({ onEnrol }) {
  return (
    <div class="note">
      <p>{t`You opened the manager’s symbol in this browser. If Tautbook is on the home screen, open it there and scan inside the app: the two keep separate entries.`}</p>
      <button type="button" onClick={onEnrol}>{t`Enrol this browser`}</button>
    </div>
  );
}

/** @param {any} props */
export function EnrolView({ arg }) {
  const { addresses } = useApp();
  const { claim, ask, problem, setProblem } = useClaim();
  const [way, setWay] = useState(/** @type {"scan" | "type"} */ (arg ? "type" : "scan"));
  const [typed, setTyped] = useState("");

  function scanned(/** @type {string} */ text) {
    const { token, problem: wrong } = readToken(text, addresses.origin);
    if (token) ask({ token });
    else setProblem(wrong ?? "");
  }

  function send() {
    const code = typed.toUpperCase().replace(/[^0-9A-Z]/g, "");
    if (TYPED.test(code)) ask({ code });
    else setProblem(t`Type the eight characters below the manager’s symbol.`);
  }

  if (claim) return <Page title={t`Enrol`} sub={t`this phone`}><Waiting claim={claim} /></Page>;
  const typing = way === "type";
  return (
    <Page
      title={t`Enrol`} sub={t`this phone`} name="enrol"
      foot={typing ? (
        <>
          <Action onClick={() => setWay("scan")}>{t`Scan instead`}</Action>
          <Action go onClick={send}>{t`Go on`}</Action>
        </>
      ) : (
        <Action wide onClick={() => setWay("type")}>{t`Type eight characters instead`}</Action>
      )}
    >
      {arg && <InBrowser onEnrol={() => ask({ token: arg })} />}
      <p class="hint">{t`The manager opens Phones, Add phone on the office screen.`}</p>
      {typing
        ? <TextField label={t`Eight characters`} code value={typed} problem={problem} onChange={(text) => { setTyped(text); setProblem(""); }} />
        : <Scanner onText={scanned} hint={t`Hold the manager’s symbol inside the corners.`} />}
      {problem && !typing && <p class="state bad" role="alert">{problem}</p>}
    </Page>
  );
}
