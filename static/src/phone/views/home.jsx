import { ConditionWordAndShape } from "../../shared/conditions.jsx";
import { t } from "../../shared/language.js";
import { touchesFrames, useApp, useLoaded } from "../ui/app.js";
import { Action, Page } from "../ui/page.jsx";
import { NoticesHome, StorageNotice } from "./home_notices.jsx";

/** One of the last frames: code, what it is, its condition. @param {any} props */
function Recent({ view }) {
  const { router, things } = useApp();
  const { thing, screen, condition } = view;
  const mesh = screen && things.get("mesh", screen.mesh);
  const job = things.get("job", screen?.job);
  const on = job ? `${job.number} · ${things.name("colour", screen.colour)}` : "";
  return (
    <li>
      <button type="button" class="row" onClick={() => router.go("card", { code: thing.code })}>
        <b class="row-code">{thing.code}</b>
        <span class="row-more">{on || (mesh ? mesh.name : t`no mesh`)}</span>
        {screen && !screen.ended && <ConditionWordAndShape word={condition.word} />}
      </button>
    </li>
  );
}

function Recents() {
  const { frames, context, things } = useApp();
  const views = useLoaded(
    () => Promise.all(context.recent.slice(0, 5).filter((id) => things.get("frame", id)).map((id) => frames.frameView(id))),
    [context.recent.join(), things],
    touchesFrames,
  );
  if (!views) return null;
  if (views.length === 0) return <p class="hint">{t`Scan the label of a frame to begin.`}</p>;
  return (
    <section>
      <h2>{t`Last frames`}</h2>
      <ul class="rows">{views.map((view) => <Recent key={view.thing.id} view={view} />)}</ul>
    </section>
  );
}

/** @type {Record<string, (code: string) => string>} */
const VIEW_OF = {
  check: (code) => t`check of ${code}`,
  tweak: (code) => t`tweak of ${code}`,
  plan: (code) => t`plan of ${code}`,
  register: (code) => t`register of ${code}`,
  turns: (code) => t`turns of ${code}`,
};

/** A form left half filled, offered again. */
function Unfinished() {
  const { store, things, router } = useApp();
  const all = useLoaded(() => store.drafts.all(), [], () => false);
  const drafts = (all ?? []).filter((/** @type {any} */ draft) => draft.form && draft.form.stage !== "plan" && things.get("frame", draft.frame));
  return drafts.slice(-2).map((/** @type {any} */ draft) => {
    const code = things.name("frame", draft.frame);
    const { page, arg, purpose } = draft.form;
    const view = page ?? { tension_check: "check", register_tweak: "tweak" }[/** @type {string} */ (draft.kind)] ?? "turns";
    return (
      <button key={draft.id} type="button" class="row unfinished" onClick={() => router.go(view, { code, arg: arg ?? purpose })}>
        <span>{t`Not finished:`} <b>{(VIEW_OF[view] ?? VIEW_OF.turns)(code)}</b></span>
        <span class="link">{t`Go on`}</span>
      </button>
    );
  });
}

export function HomeView() {
  const { router } = useApp();
  return (
    <Page
      name="home"
      foot={(
        <>
          <Action wide go onClick={() => router.go("scan")}><span class="scan-word">{t`Scan`}</span></Action>
          <Action onClick={() => router.go("type")}>{t`Type a code`}</Action>
          <Action onClick={() => router.go("pick")}>{t`By place`}</Action>
        </>
      )}
    >
      <h1 class="visually-hidden">Tautbook</h1>
      <NoticesHome />
      <Unfinished />
      <Recents />
      <nav class="links" aria-label={t`More`}>
        <button type="button" onClick={() => router.go("many")}>{t`Many at once`}</button>
        <button type="button" onClick={() => router.go("shift")}>{t`End of shift`}</button>
        <button type="button" onClick={() => router.go("sums")}>{t`Sums`}</button>
        <button type="button" onClick={() => router.go("phone")}>{t`This phone`}</button>
      </nav>
      <StorageNotice />
    </Page>
  );
}

