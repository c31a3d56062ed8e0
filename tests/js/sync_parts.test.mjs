// The small parts of sync: waits, the clock's offset, what the server's no means, wake-ups.
import assert from "node:assert/strict";
import { test } from "node:test";
import { correctedMs, label, KINDS, newDraft, stamp } from "../../static/src/phone/entries/index.js";
import { oneAtATime } from "../../static/src/shared/one_at_a_time.js";
import { backoff, retryAfter } from "../../static/src/phone/sync/backoff.js";
import { better, measured } from "../../static/src/phone/sync/offset.js";
import { meaning } from "../../static/src/phone/sync/verdict.js";
import { wakes } from "../../static/src/phone/sync/wake.js";

test("waits double, are spread out, and stay within five minutes", () => {
  assert.equal(backoff(1, () => 1), 2_000);
  assert.equal(backoff(1, () => 0), 1_000);
  assert.equal(backoff(5, () => 1), 32_000);
  for (const n of [9, 30, 3000]) assert.equal(backoff(n, () => 1), 300_000);
});

// RFC 9110, section 10.2.3: Retry-After is a number of seconds or an HTTP date.
test("Retry-After is read in both its forms, and never believed beyond an hour", () => {
  const now = Date.parse("Fri, 31 Dec 1999 23:58:59 GMT");
  assert.equal(retryAfter("120", now), 120_000);
  assert.equal(retryAfter("Fri, 31 Dec 1999 23:59:59 GMT", now), 60_000);
  assert.equal(retryAfter("Fri, 31 Dec 1999 23:50:00 GMT", now), 0);
  assert.equal(retryAfter("999999", now), 3_600_000);
  for (const nothing of [null, "", "soon", "-5"]) assert.equal(retryAfter(nothing, now), 0);
});

const wall = Date.UTC(2026, 4, 4);
const exchange = (/** @type {number} */ ahead, /** @type {number} */ trip, slow = 0.5) => {
  const server = new Date(wall + ahead + trip * slow).toISOString();
  return measured(server, { wall, mono: 0 }, { wall: wall + trip, mono: trip });
};

// RFC 5905, section 8: with equal ways the offset is exact, else it is off by half the trip at most.
test("the clock's offset comes from the middle of the round trip", () => {
  assert.equal(exchange(86_400_000, 200)?.offset_ms, 86_400_000);
  for (const slow of [0, 0.2, 1]) {
    assert.ok(Math.abs((exchange(5_000, 400, slow)?.offset_ms ?? 0) - 5_000) <= 200);
  }
});

test("an exchange during which the clock was set tells nothing", () => {
  const server = new Date(wall).toISOString();
  assert.equal(measured(server, { wall, mono: 0 }, { wall: wall + 3_600_000, mono: 100 }), null);
  assert.equal(measured("no time", { wall, mono: 0 }, { wall, mono: 0 }), null);
  assert.equal(exchange(0, 20_000), null);
});

test("the quicker exchange is believed, until it is old or the clock was set", () => {
  const quick = { offset_ms: 1_000, rtt_ms: 40, at: wall };
  const slow = { offset_ms: 1_100, rtt_ms: 900, at: wall + 60_000 };
  assert.equal(better(undefined, slow), slow);
  assert.equal(better(quick, slow), quick);
  assert.equal(better(slow, { ...quick, at: wall + 61_000 }).rtt_ms, 40);
  const late = { ...slow, at: wall + 700_000 };
  assert.equal(better(quick, late), late);
  const jumped = { offset_ms: -3_600_000, rtt_ms: 900, at: wall + 60_000 };
  assert.equal(better(quick, jumped), jumped);
});

test("the server's no is told apart: sign in, blocked, retired, update, or an entry at fault", () => {
  const of = (/** @type {string} */ word, field = "entries") =>
    ({ type: `/problems/${word}`, title: "", status: 0, errors: [{ field }] });
  assert.equal(meaning(401, of("sign-in")), "sign in");
  assert.equal(meaning(403, of("blocked")), "blocked");
  assert.equal(meaning(403, of("retired")), "retired");
  assert.equal(meaning(403, of("cross-site")), "sign in");
  assert.equal(meaning(422, of("invalid", "protocol")), "update needed");
  for (const status of [404, 405, 415, 426]) assert.equal(meaning(status, of("x")), "update needed");
  for (const status of [400, 413, 422]) assert.equal(meaning(status, of("x")), "unfit");
});

test("going online, coming back and being shown wake sync; being hidden does not", () => {
  const window = new EventTarget();
  const document = Object.assign(new EventTarget(), { visibilityState: "hidden" });
  const heard = /** @type {string[]} */ ([]);
  const stop = wakes(/** @type {any} */ (window), /** @type {any} */ (document))((why) => heard.push(why));
  window.dispatchEvent(new Event("online"));
  document.dispatchEvent(new Event("visibilitychange"));
  document.visibilityState = "visible";
  document.dispatchEvent(new Event("visibilitychange"));
  window.dispatchEvent(new Event("pageshow"));
  assert.deepEqual(heard, ["online", "visible", "visible"]);
  stop();
  window.dispatchEvent(new Event("online"));
  assert.equal(heard.length, 3);
});

test("times are written with their zone, and read back to the same moment", () => {
  const ms = Date.UTC(2026, 9, 25, 0, 59, 59, 7);
  // The last second of summer time in central Europe, and the same wall time an hour later.
  assert.equal(stamp(ms, 120), "2026-10-25T02:59:59.007+02:00");
  assert.equal(stamp(ms + 3_600_000, 60), "2026-10-25T02:59:59.007+01:00");
  for (const zone of [0, 60, -210, 345, 840, -720]) {
    assert.equal(correctedMs({ occurred_at: stamp(ms, zone), clock_offset_ms: 5 }), ms + 5);
  }
});

// RFC 9562, section 5.7: 48 bits of Unix time in ms, version 7, variant 10.
test("ids are UUIDs of version 7 and carry the time of the form", () => {
  const msecs = Date.UTC(2022, 1, 22, 19, 22, 22);
  const { id } = newDraft({ kind: "note" }, { msecs });
  assert.match(id, /^017f22e2-79b0-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
});

test("a mesh-fitted entry names its own screen", () => {
  const draft = newDraft({ kind: "mesh_fitted", frame: "f" });
  assert.equal(draft.screen, draft.id);
});

test("every kind has a short word, and an unknown one is shown by name", () => {
  for (const word of Object.values(KINDS)) assert.ok(word.length <= 16);
  assert.equal(label("tension_check"), "Check");
  assert.equal(label("from_tomorrow"), "from tomorrow");
});

test("however many ask while work runs, it runs once more, and nobody's wish is older than it", async () => {
  const done = /** @type {number[]} */ ([]);
  let asked = 0;
  const ask = oneAtATime(async () => {
    const seen = asked;
    await new Promise(setImmediate);
    done.push(seen);
  });
  for (asked = 1; asked < 9; asked += 1) ask();
  while (done.length < 2) await new Promise(setImmediate);
  await new Promise(setImmediate);
  assert.deepEqual(done, [1, 9]);
  await ask();
  assert.equal(done.length, 3);
});
