import { useApp } from "../../ui/app.js";
import { Page } from "../../ui/page.jsx";
import { withFrame } from "../gate.jsx";
/** @param {any} props */
function Plan({ card, code }) {
  useApp();
  return <Page title={code} sub="Plan">{card.thing.code}</Page>;
}
export const PlanView = withFrame(Plan);
