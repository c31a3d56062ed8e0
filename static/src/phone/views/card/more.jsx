/** Everything else that can be logged about a frame, nearest first. */
import { useApp } from "../../ui/app.js";
import { Page } from "../../ui/page.jsx";
import { withFrame } from "../gate.jsx";

const form = (/** @type {string} */ kind, /** @type {string} */ text) => ({ name: "form", arg: kind, text });
const turns = (/** @type {string} */ purpose, /** @type {string} */ text) => ({ name: "turns", arg: purpose, text });

/** What fits the state of the frame. @param {any} card @param {boolean} live */
function groups({ screen, frame }, live) {
  const torn = frame.awaiting_removal;
  return [
    { title: "Now", items: [live && form("burst", "Burst"), form("moved", "Moved"), live && form("impressions", "Impressions"), live && screen.job && form("ok_sheet", "OK sheet"), form("note", "Note")] },
    {
      title: "Stencil",
      items: live ? [
        screen.stencil === "bare" && form("coated", "Coated"),
        screen.stencil === "coated" && form("exposed", "Exposed"),
        (screen.stencil === "exposed" || screen.stencil === "inspected") && form("inspected", "Inspected"),
        screen.stencil !== "bare" && form("washed", "Washed"),
        screen.stencil !== "bare" && form("reclaimed", "Reclaimed"),
      ] : [],
    },
    {
      title: "Bolts",
      items: [
        ...(live ? [{ name: "plan", arg: "tension", text: "Plan the turns" }, { name: "register", text: "Register" }, { name: "tweak", text: "Tweak" }, turns("stretch", "Stretch"), turns("retension", "Retension"), turns("register", "For register"), turns("even_up", "Even up"), turns("nipped_up", "Nipped up"), form("stand_out", "Stand-out")] : []),
        form("bolt_state", "Seized, broken, freed"),
      ],
    },
    { title: "Mesh", items: [(!live || !screen.checks.bare) && !torn && { name: "stretch", text: "Fit mesh, step by step" }, !live && !torn && form("mesh_fitted", "Mesh fitted"), live && form("target_set", "Target"), (live || torn) && form("mesh_removed", "Mesh removed")] },
    { title: "Meter", items: [form("meter_zeroed", "Meter zeroed")] },
    { title: "Work out", items: [{ name: "sums", text: "Sums" }] },
  ];
}

/** @param {any} props */
function More({ card, code }) {
  const { router } = useApp();
  const live = Boolean(card.screen && !card.screen.ended);
  return (
    <Page title={code} sub="What happened?" name="more">
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
