/** The remembered context in two short lines: who and where, then on what. */
import { t } from "../../shared/language.js";

/** @param {import("./remembered.js").Context} context @param {import("./things.js").Things} things */
export function whereText(context, things) {
  const operator = things.name("operator", context.operator) || t`Who?`;
  if (!context.press) return { who: operator, what: t`Screen room` };
  const station = context.station ? `, ${t`station ${context.station}`}` : "";
  const who = `${operator} · ${things.name("press", context.press)}${station}`;
  const job = things.get("job", context.job);
  const colour = things.name("colour", context.colour);
  if (!job) return { who, what: t`Which job?` };
  return { who, what: [job.number, colour].filter(Boolean).join(" · ") };
}
