/** The control for one field of a form. */
import { useState } from "preact/hooks";

import { t } from "../../../shared/language.js";
import { useApp } from "../../ui/app.js";
import { Choice } from "../../ui/choice.jsx";
import { Drawing } from "../../ui/drawing.jsx";
import { NumberField, TextField } from "../../ui/fields.jsx";
import { MarksField } from "../turns/marks_field.jsx";

/** Millimetres at bolts: tap a bolt, type its number. @param {any} props */
function BoltsMm({ field, card, view, value, onChange }) {
  const [bolt, setBolt] = useState("A1");
  const others = Object.keys(value).filter((name) => name !== bolt);
  return (
    <>
      <Drawing touch frame={card.thing} view={view} maxHeight={380} next={bolt} chosen={others} onBolt={setBolt} />
      <NumberField
        label={t`Bolt ${bolt}`} unit="mm" signed hint={field.hint} value={value[bolt] ?? ""}
        onChange={(text) => {
          const { [bolt]: _, ...rest } = value;
          onChange(text.trim() ? { ...rest, [bolt]: text } : rest);
        }}
      />
      {Object.keys(value).length > 0 && <p>{Object.entries(value).map(([name, mm]) => `${name} ${mm}`).join(" · ")} mm</p>}
    </>
  );
}

/** @param {{field: any, value: any, problem?: string, card: any, onChange: (value: any) => void}} props */
export function FieldOf({ field, value, problem, card, onChange }) {
  const { context } = useApp();
  const view = { face: context.face, near: context.near };
  const trouble = problem && <p class="problem">{problem}</p>;
  if (field.type === "number") return <NumberField {...field} value={value ?? ""} problem={problem || undefined} onChange={onChange} />;
  if (field.type === "text") return <TextField {...field} long={field.name === "note"} value={value ?? ""} problem={problem || undefined} onChange={onChange} />;
  if (field.type === "bolt") {
    return <section><h2>{field.label}</h2><Drawing touch frame={card.thing} view={view} maxHeight={380} next={value} states={card.frame.bolts} onBolt={onChange} />{value && <p><b>{value}</b></p>}{trouble}</section>;
  }
  if (field.type === "marks") return <details class="extras"><summary>{field.label}</summary><MarksField card={card} view={view} marks={value} onChange={onChange} /></details>;
  if (field.type === "bolts_mm") return <section><h2>{field.label}</h2><BoltsMm field={field} card={card} view={view} value={value} onChange={onChange} />{trouble}</section>;
  const count = Array.isArray(field.options) ? field.options.length : Object.keys(field.options).length;
  return (
    <>
      <Choice {...field} value={value} onChange={onChange} />
      {count === 0 && field.empty && <p class="hint">{field.empty}</p>}
      {trouble}
    </>
  );
}
