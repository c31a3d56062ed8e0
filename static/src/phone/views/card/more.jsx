/** Everything else that can be logged about a frame, nearest first. */
import { t } from "../../../shared/language.js";
import { useApp } from "../../ui/app.js";
import { Page } from "../../ui/page.jsx";
import { withFrame } from "../gate.jsx";

const form = (/** @type {string} */ kind, /** @type {string} */ text) => ({ name: "form", arg: kind, text });
const turns = (/** @type {string} */ purpose, /** @type {string} */ text) => ({ name: "turns", arg: purpose, text });

/** What fits the state of the frame. @param {any} card @param {boolean} live */
function groups({ screen, frame }, live) {
  const torn = frame.awaiting_removal;
  return [
    { title: t`Now`, items: [live && form("burst", t`Burst`), form("moved", t`Moved`), live && form("impressions", t`Impressions`), live && screen.job && form("ok_sheet", t`OK sheet`), form("note", t`Note`)] },
    {
      title: t`Stencil`,
      items: live ? [
        screen.stencil === "bare" && form("coated", t`Coated`),
        screen.stencil === "coated" && form("exposed", t`Exposed`),
        (screen.stencil === "exposed" || screen.stencil === "inspected") && form("inspected", t`Inspected`),
        screen.stencil !== "bare" && form("washed", t`Washed`),
        screen.stencil !== "bare" && form("reclaimed", t`Reclaimed`),
      ] : [],
    },
    {
      title: t`Bolts`,
      items: [
        ...(live ? [{ name: "plan", arg: "tension", text: t`Plan the turns` }, { name: "register", text: t`Register` }, { name: "tweak", text: t`Tweak` }, turns("stretch", t`Stretch`), turns("retension", t`Retension`), turns("register", t`For register`), turns("even_up", t`Even up`), turns("nipped_up", t`Nipped up`), form("stand_out", t`Stand-out`)] : []),
        form("bolt_state", t`Seized, broken, freed`),
      ],
    },
    { title: t`Mesh`, items: [(!live || !screen.checks.bare) && !torn && { name: "stretch", text: t`Fit mesh, step by step` }, !live && !torn && form("mesh_fitted", t`Mesh fitted`), live && form("target_set", t`Target`), (live || torn) && form("mesh_removed", t`Mesh removed`)] },
    { title: t`Meter`, items: [form("meter_zeroed", t`Meter zeroed`)] },
    { title: t`Work out`, items: [{ name: "sums", text: t`Sums` }] },
  ];
}

/** @param {any} props */
function More({ card, code }) {
  const { router } = useApp();
  const live = Boolean(card.screen && !card.screen.ended);
  return (
    <Page title={code} sub={t`What happened?`} name="more">
      {groups(card, live).map(({ title, items }) => {
        const shown = /** @type {any[]} */ (items.filter(Boolean));
        return shown.length > 0 && (
          <section key={title}>
            <h2>{title}</h2>
            <div class="grid">
              {shown.map((to) => (
                <button key={to.text} type="button" class="action" onClick={() => router.go(to.name, { code, arg: to.arg ?? null })}>{to.text}</button>
              ))}
            </div>
          </section>
        );
      })}
    </Page>
  );
}

export const MoreView = withFrame(More);
