// A card takes up the server's forecast while it was made with the last check, and no longer.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { newDraft } from "../../static/src/phone/entries/index.js";
import { outlookText } from "../../static/src/phone/views/card/outlook.js";
import { aheadOf, aheadText, legendText, readText, tensionSeries } from "../../static/src/phone/views/card/series.js";
import { newDevice, openTab } from "./bench/device.mjs";

const vectors = JSON.parse(readFileSync(new URL("../vectors/fold.json", import.meta.url), "utf8"));
const { entries } = vectors.fold.find((/** @type {any} */ one) =>
  ["mesh_fitted", "tension_check"].every((kind) => one.entries.some((/** @type {any} */ e) => e.kind === kind)));
const fitted = entries.find((/** @type {any} */ one) => one.kind === "mesh_fitted");
const check = {
  ...entries.find((/** @type {any} */ one) => one.kind === "tension_check"),
  frame: fitted.frame, screen: fitted.id, occurred_at: fitted.occurred_at, clock_offset_ms: 0,
};
const aim = fitted.payload.target_n_per_cm;
check.payload = { ...check.payload, spots: [{ u: 0.5, v: 0.5, along_a_n_per_cm: aim, across_a_n_per_cm: aim }] };

const asItem = (/** @type {any} */ body) => ({ type: "entry", kind: body.kind, object: body.id, body });
const when = (/** @type {string|null} */ at) => ({ at, early: at, late: at, reason: "So." });

async function phoneWith(/** @type {any} */ forecast) {
  const tab = await openTab(newDevice());
  const told = { type: "state", kind: "forecast", object: fitted.id, body: forecast };
  await tab.store.feed.replace({ epoch: "e", seq: 0, id: null }, [asItem(fitted), asItem(check), told]);
  return tab;
}

const soon = () => new Date(Date.now() + 3_600_000).toISOString();
const body = () => ({
  after: check.id, turned_at: fitted.occurred_at, rest_limit_n_per_cm: 0.5, jumps: [],
  resting_until: when(soon()), coat_from: when(soon()), in_tolerance_until: when(null),
});

test("a check newer than the forecast makes it silent", async () => {
  const { store, frames } = await phoneWith(body());
  const before = await frames.frameView(fitted.frame);
  assert.equal(before.screen?.last_check?.id, check.id);
  assert.equal(before.forecast?.after, check.id);
  await store.save(newDraft({ kind: "tension_check", frame: fitted.frame, screen: fitted.id, payload: check.payload }));
  assert.equal((await frames.frameView(fitted.frame)).forecast, null);
});

test("a forecast that knows another check says nothing", async () => {
  const { frames } = await phoneWith({ ...body(), after: "another" });
  assert.equal((await frames.frameView(fitted.frame)).forecast, null);
});

test("the card says only what is sure, and nothing that is past", () => {
  const now = Date.parse("2026-11-25T09:00:00.000Z");
  const on = (/** @type {number} */ date) => `2026-12-${String(date).padStart(2, "0")}T12:00:00.000Z`;
  const told = (/** @type {any} */ until, coat = null) => outlookText({ coat_from: { at: coat }, in_tolerance_until: until }, now);
  const past = "2026-11-20T12:00:00.000Z";
  assert.equal(told({ at: on(9), early: on(3), late: on(20) }), "In tolerance until 9 Dec (3 Dec to 20 Dec).");
  assert.equal(told({ at: on(9), early: past, late: on(20) }), "In tolerance until 9 Dec.");
  assert.equal(told({ at: on(9), early: on(3), late: null }), "In tolerance until 9 Dec.");
  assert.equal(told({ at: null, early: on(3), late: null }), "In tolerance until 3 Dec or longer.");
  assert.equal(told({ at: null, early: past, late: null }), "");
  assert.equal(told({ at: past, early: past, late: on(1) }), "");
  assert.match(told({ at: null, early: null, late: null }, on(2)), /^Coat from 2 Dec 2026\.$/);
});

test("what comes is drawn from the forecast that knows the last check, and said in a sentence", () => {
  const series = tensionSeries([check], fitted.id);
  const later = (/** @type {number} */ days) => new Date(series[0].at + days * 86_400_000).toISOString();
  const curve = [{ at: later(0), mean: 21, low: 20, high: 22 }, { at: later(30), mean: 19.5, low: 18, high: 20.8 }];
  assert.deepEqual(aheadOf({ after: "another", curve }, series), []);
  assert.deepEqual(aheadOf(null, series), []);
  const ahead = aheadOf({ after: check.id, curve }, series, series[0].at);
  assert.deepEqual(ahead.map((one) => one.mean), [19.5]);
  assert.match(aheadText(ahead), /^About 19\u00bd on \d+ \w+ without printing, 18 to 20\.8\.$/);
  assert.equal(aheadText([]), "");
  const far = [...curve, { at: later(90), mean: 19, low: 17, high: 21 }];
  assert.equal(aheadOf({ after: check.id, curve: far }, series, series[0].at).length, 1);
  assert.equal(aheadOf({ after: check.id, curve: far }, series, series[0].at + 80 * 86_400_000).length, 2);
  assert.equal(readText(series), `Read once: ${String(aim).replace(".5", "\u00bd")}.`);
  assert.match(readText([{ ...series[0] }, ...series]), /^Read 2 times: /);
});

test("the chart's lines are told by how they are drawn, with a forecast or without", () => {
  for (const word of ["Solid", "Long dashes", "Short dashes"]) assert.ok(legendText([]).includes(word), word);
  assert.ok(!legendText([]).includes("expected"));
  assert.ok(legendText([{ at: 0, low: 1, mean: 2, high: 3 }]).endsWith("what is expected, dotted its mean."));
});
