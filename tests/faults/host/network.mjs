// The air between one phone and the real server, and everything that air does.
import { request as open } from "node:http";

const json = { "Content-Type": "application/json" };
const html = { "Content-Type": "text/html" };
const page = "<html><body>Welcome to the guest network. Accept?</body></html>";
const broken = (why) => new TypeError(why);
// Node's fetch now and then never ends when its server is killed, and phones' clocks stand still.
const SILENT_MS = 60_000;

/**
 * @param {{origin: string, cookie: () => string, clock: {jump: (ms: number) => void},
 *   patience: number}} air
 */
export function newNetwork({ origin, cookie, clock, patience }) {
  let plan = /** @type {string[]} */ ([]);
  let rest = "down";
  let late = /** @type {(() => Promise<any>)[]} */ ([]);
  const log = /** @type {string[]} */ ([]);

  async function send(asked) {
    const response = await fetch(origin + asked.address, {
      method: asked.method, headers: { ...asked.headers, Cookie: cookie() }, body: asked.body,
      redirect: asked.redirect, signal: AbortSignal.timeout(SILENT_MS),
    });
    const bytes = new Uint8Array(await response.arrayBuffer());
    return { status: response.status, headers: response.headers, bytes };
  }
  const answer = ({ status, headers, bytes }) => {
    const kept = [...headers].filter(([name]) => !/^content-(encoding|length)$/.test(name));
    return new Response(bytes, { status, headers: kept });
  };
  const half = (body) => (body ? body.slice(0, Math.floor((body.length ?? body.byteLength) / 2)) : body);
  const hang = () => {
    // Nobody answers, so the next thing that happens is that the phone's patience ends.
    setImmediate(() => clock.jump(patience));
    return new Promise(() => {});
  };

  /** Half of the request is on its way when the line breaks. */
  const cutLine = (asked) => new Promise((_resolve, reject) => {
    const bytes = Buffer.from(asked.body ?? "");
    const headers = { ...asked.headers, Cookie: cookie(), "Content-Length": bytes.length };
    const out = open(origin + asked.address, { method: asked.method, headers });
    const end = () => reject(broken("the line broke"));
    out.on("error", end);
    out.on("close", end);
    out.write(bytes.subarray(0, Math.floor(bytes.length / 2)), () => out.destroy());
  });

  const MODES = {
    good: async (asked) => answer(await send(asked)),
    down: async () => { throw broken("no network"); },
    lost_answer: async (asked) => {
      await send(asked);
      throw broken("the answer was lost");
    },
    twice: async (asked) => answer((await Promise.all([send(asked), send(asked)]))[1]),
    late: async (asked) => {
      late.push(() => send(asked));
      throw broken("delayed");
    },
    echo: async (asked) => {
      late.push(() => send(asked));
      return answer(await send(asked));
    },
    cut_answer: async (asked) => {
      const got = await send(asked);
      return answer({ ...got, bytes: half(got.bytes) });
    },
    cut_request: async (asked) => answer(await send({ ...asked, body: half(asked.body) })),
    cut_line: cutLine,
    hang,
    hang_after: async (asked) => {
      await send(asked);
      return hang();
    },
    /** The phone's app is of another age than the server, which says so. */
    other_app: async (asked) => {
      const body = asked.body && JSON.stringify({ ...JSON.parse(asked.body), protocol: 2 });
      return answer(await send({ ...asked, body }));
    },
    /** The server is of another age, and answers in a way that the phone cannot know. */
    other_server: async () => new Response('{"protocol": 2, "taken": "all"}', { headers: json }),
    portal: async () => new Response(page, { status: 200, headers: html }),
    portal_login: async () => new Response(page, { status: 511, headers: html }),
    proxy_down: async () => new Response(page, { status: 502, headers: html }),
    proxy_small: async () => new Response(page, { status: 413, headers: html }),
    asks_quiet: async () => new Response(page, { status: 429, headers: { "Retry-After": "30" } }),
  };

  return {
    modes: Object.keys(MODES),
    log,
    set(next) {
      plan = [...(next.plan ?? [])];
      rest = next.rest ?? rest;
    },
    /** What was delayed arrives now, the last first. */
    async deliverLate() {
      const arriving = late.reverse();
      late = [];
      for (const one of arriving) await one().catch(() => {});
      return arriving.length;
    },
    async fetch(address, { method, headers, body, redirect }) {
      const mode = plan.shift() ?? rest;
      log.push(`${mode} ${address.split("?")[0]}`);
      return MODES[mode]({ address, method, headers, body, redirect });
    },
  };
}
