// A network that lies: no line, portals, hangs, busy proxies. None of these may move an entry.
import assert from "node:assert/strict";
import { test } from "node:test";
import { gunzipSync } from "node:zlib";
import { newDraft } from "../../static/src/phone/entries/index.js";
import { movedClock } from "./bench/clock.mjs";
import { newDevice, openTab } from "./bench/device.mjs";

const note = (text = "a line") => newDraft({ kind: "note", payload: { note: text } });
const says = (body, status = 200, headers = {}) => () => Promise.resolve(new Response(body, { status, headers }));
const html = "<html><body>Welcome to the guest network. Accept?</body></html>";
const json = { "Content-Type": "application/json" };

async function phoneOn(/** @type {any} */ fetch, how = {}) {
  const tab = await openTab(newDevice(), { fetch, ...how });
  await tab.store.save(note());
  await tab.sync.start();
  const [line] = await tab.store.outbox();
  return { tab, line, status: tab.sync.status() };
}

const NOT_OUR_WORD = {
  "no line at all": () => Promise.reject(new TypeError("Failed to fetch")),
  "a portal's page": says(html, 200, { "Content-Type": "text/html" }),
  "a portal that asks for a password": says(html, 511),
  "a portal's own forbidden": says(html, 403, { "Content-Type": "text/html" }),
  "a portal's own sign-in": says(html, 401),
  "JSON of somebody else": says('{"status": "ok"}', 200, json),
  "JSON that is no object": says("[1, 2]", 200, json),
  "an answer cut off": says('{"protocol": 1, "receipts": [{"id"', 200, json),
  "an empty answer": says("", 200),
  "a proxy without its server": says(html, 502),
  "a server that rests": says('{"title": "Busy", "status": 503}', 503, json),
  "a request that took too long": says(html, 408),
  "a proxy's bad request": says(html, 400),
  "a redirect": () => Promise.reject(new TypeError("unexpected redirect")),
};

for (const [name, fetch] of Object.entries(NOT_OUR_WORD)) {
  test(`${name}: the entry waits`, async () => {
    const { line, status } = await phoneOn(fetch);
    assert.equal(line.state, "waiting");
    assert.equal(line.attempts, 1);
    assert.equal(status.state, "waiting");
    assert.ok(status.why);
    assert.equal(status.unsent, 1);
  });
}

test("a hanging upload is given up in time, and the entry waits", async () => {
  const clock = movedClock();
  let asked = false;
  const hanging = () => {
    asked = true;
    return new Promise(() => {});
  };
  const tab = await openTab(newDevice(), { clock, fetch: /** @type {any} */ (hanging) });
  await tab.store.save(note());
  const round = tab.sync.start();
  while (!asked) await new Promise(setImmediate);
  await clock.pass(45_000);
  await round;
  const [line] = await tab.store.outbox();
  assert.equal(line.state, "waiting");
  assert.match(tab.sync.status().why ?? "", /in time/);
});

test("it tries for ever, further and further apart", async () => {
  let asked = 0;
  const { tab } = await phoneOn(() => {
    asked += 1;
    return Promise.reject(new TypeError("no line"));
  });
  const gaps = [];
  for (let n = 0; n < 40; n += 1) {
    const wait = (tab.sync.status().next_try_at ?? 0) - tab.clock.now();
    gaps.push(wait);
    await tab.clock.pass(wait);
  }
  assert.equal(asked, 41);
  assert.deepEqual(gaps.slice(0, 4), [1500, 3000, 6000, 12_000]);
  assert.ok(gaps.every((gap) => gap <= 300_000) && gaps[39] > 150_000);
  assert.equal((await tab.store.outbox())[0].attempts, 41);
});

for (const reason of /** @type {const} */ (["online", "visible", "hand", "enqueue"])) {
  test(`${reason}: it tries at once and begins anew with short waits`, async () => {
    let asked = 0;
    const { tab } = await phoneOn(() => {
      asked += 1;
      return Promise.reject(new TypeError("no line"));
    });
    for (let n = 0; n < 8; n += 1) await tab.clock.pass(400_000);
    const before = asked;
    await tab.sync.kick(reason);
    assert.equal(asked, before + 1);
    assert.equal((tab.sync.status().next_try_at ?? 0) - tab.clock.now(), 1500);
  });
}

test("a server that asks for quiet gets it, except from the hand", async () => {
  let asked = 0;
  const { tab } = await phoneOn(() => {
    asked += 1;
    return says("{}", 429, { "Retry-After": "120" })();
  });
  assert.equal(asked, 1);
  await tab.sync.kick("online");
  await tab.store.save(note());
  await tab.clock.pass(119_000);
  assert.equal(asked, 1);
  await tab.sync.kick("hand");
  assert.equal(asked, 2);
  await tab.clock.pass(120_000);
  assert.equal(asked, 3);
});

test("the page's online event is only a hint: without any, a timer finds the network again", async () => {
  let line = false;
  let asked = 0;
  const fetch = () => {
    asked += 1;
    return line ? says(html)() : Promise.reject(new TypeError("no line"));
  };
  const { tab } = await phoneOn(fetch);
  line = true;
  await tab.clock.pass(2_000);
  assert.equal(asked, 2);
});

test("what fails for being too much at once is tried with less", async () => {
  const sizes = /** @type {number[]} */ ([]);
  const fetch = async (_address, { body }) => {
    const text = typeof body === "string" ? body : gunzipSync(Buffer.from(body)).toString();
    sizes.push(JSON.parse(text).entries.length);
    return new Response(html, { status: 502 });
  };
  const tab = await openTab(newDevice(), { fetch });
  for (let n = 0; n < 64; n += 1) await tab.store.save(note(`${n}`));
  await tab.sync.start();
  for (let n = 0; n < 6; n += 1) await tab.sync.kick("hand");
  assert.deepEqual(sizes, [64, 32, 16, 8, 4, 2, 1]);
});

test("a proxy that takes only small bodies gets halves", async () => {
  const sizes = /** @type {number[]} */ ([]);
  const fetch = async (_address, { body }) => {
    const text = typeof body === "string" ? body : gunzipSync(Buffer.from(body)).toString();
    sizes.push(JSON.parse(text).entries.length);
    return new Response(html, { status: 413 });
  };
  const tab = await openTab(newDevice(), { fetch });
  for (let n = 0; n < 4; n += 1) await tab.store.save(note(`${n}`));
  await tab.sync.start();
  assert.deepEqual(sizes, [4, 2, 1]);
  assert.deepEqual(new Set((await tab.store.outbox()).map(({ state }) => state)), new Set(["waiting"]));
});

test("one tab works at a time, and a frozen one does not stop the others for ever", async () => {
  const device = newDevice();
  let asked = 0;
  const fetch = () => {
    asked += 1;
    return Promise.reject(new TypeError("no line"));
  };
  const tab = await openTab(device, { fetch });
  device.locks.freeze("tautbook-sync");
  await tab.store.save(note());
  await tab.sync.start();
  assert.equal(asked, 0);
  await tab.clock.pass(170_000);
  assert.equal(asked, 0);
  await tab.clock.pass(20_000);
  assert.ok(asked > 0);
});

test("a stopped sync asks nothing more", async () => {
  let asked = 0;
  const { tab } = await phoneOn(() => {
    asked += 1;
    return Promise.reject(new TypeError("no line"));
  });
  await tab.sync.stop();
  await tab.clock.pass(900_000);
  await tab.sync.kick("hand");
  assert.equal(asked, 1);
});

test("storage trouble during a round is waited out too", async () => {
  const { tab } = await phoneOn(() => Promise.reject(new TypeError("no line")));
  tab.storage.fill(true);
  await tab.sync.kick("hand");
  assert.match(tab.sync.status().why ?? "", /storage is full/);
  tab.storage.fill(false);
  await tab.clock.pass(400_000);
  assert.match(tab.sync.status().why ?? "", /reached/);
});

test("a page that chokes on the status does not stop sync", async (context) => {
  const told = context.mock.method(console, "error", () => {});
  const { tab } = await phoneOn(() => Promise.reject(new TypeError("no line")));
  tab.sync.subscribe(() => {
    throw new Error("the page is broken");
  });
  await tab.sync.kick("hand");
  assert.ok(told.mock.calls.length > 0);
  assert.equal(tab.sync.status().state, "waiting");
  assert.ok(tab.clock.waiting() > 0);
});
