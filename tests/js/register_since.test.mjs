// What has changed on a screen since its OK sheet was signed.
import assert from "node:assert/strict";
import { test } from "node:test";

import { changesSince, checksAround, sheetOf } from "../../static/src/phone/views/register/since.js";

const id = (n) => `0193a6c0-0000-7000-8000-${String(n).padStart(12, "0")}`;
const [BLACK, RED] = [id(91), id(92)];
const VIEW = { face: "squeegee", near: "A" };

/** @param {number} n also its minute */
function entry(n, kind, payload, more = {}) {
  const occurred_at = `2026-11-25T09:${String(n).padStart(2, "0")}:00.000Z`;
  return { id: id(n), install_id: id(80), device_seq: n, kind, v: 1, occurred_at, clock_offset_ms: 0, frame: id(70), screen: id(1), subject: null, payload, ...more };
}

const sheet = (n, signed, ...colours) => entry(n, "ok_sheet", { signed, colours, press: null, note: "" }, { frame: null, screen: null, subject: { kind: "job", id: id(95) } });
const check = (n, read) => entry(n, "tension_check", { meter: null, ...VIEW, stencil: "coated", spots: [{ u: 0.5, v: 0.5, along_a_n_per_cm: read, across_a_n_per_cm: read }] });
const idsOf = (entries) => entries.map((one) => one.id);

test("the last sheet of a colour speaks, and only if it was signed", () => {
  const told = [sheet(3, true, BLACK, RED), sheet(9, false, RED), sheet(5, true, BLACK)];
  assert.equal(sheetOf(told, BLACK)?.id, id(5));
  assert.equal(sheetOf(told, RED), null);
  assert.equal(sheetOf([], BLACK), null);
});

test("a sheet that was undone does not count", () => {
  const undone = entry(6, "void", { voids: id(5), reason: "" });
  assert.equal(sheetOf([sheet(3, true, BLACK), sheet(5, true, BLACK), undone], BLACK)?.id, id(3));
});

test("what was done after the sheet is told, newest first; what came before, was undone or was only looked at is not", () => {
  const done = [
    entry(9, "register_tweak", {}), entry(8, "bolt_turns", {}, { voided: true }), entry(7, "note", { note: "Squeegee changed." }),
    entry(6, "inspected", {}), check(6, 20), entry(4, "bolt_turns", {}), entry(2, "exposed", {}),
  ];
  assert.deepEqual(idsOf(changesSince(done, sheet(5, true, BLACK))), [id(9), id(7)]);
});

test("an entry of a phone whose clock is an hour behind is taken at its right time", () => {
  const early = entry(4, "bolt_turns", {}, { clock_offset_ms: 3_600_000 });
  assert.deepEqual(idsOf(changesSince([early], sheet(5, true, BLACK))), [id(4)]);
});

test("the tension then is the last before the sheet, the tension now the last of all", () => {
  const checks = [check(9, 19), check(7, 20), check(4, 21), check(2, 22)];
  const around = checksAround(checks, sheet(5, true, BLACK));
  assert.deepEqual([around?.then.id, around?.now.id], [id(4), id(9)]);
  assert.equal(checksAround(checks.slice(2), sheet(5, true, BLACK)), null);
  assert.equal(checksAround(checks.slice(0, 2), sheet(5, true, BLACK)), null);
});
