/**
 * Reads symbols out of pictures: by the browser where it truly can, else by our own reader in a
 * worker, so that the page never stutters.
 *
 * @typedef {{read: (picture: ImageData) => Promise<string | null>, close: () => void, by: "browser" | "worker"}} Detector
 */

/** A browser may offer the interface and fail on every picture: try it on an empty one. @returns {Promise<any | null>} */
async function browsersOwn() {
  const Own = /** @type {any} */ (globalThis).BarcodeDetector;
  if (!Own) return null;
  try {
    const formats = await Own.getSupportedFormats();
    if (!formats.includes("qr_code")) return null;
    const detector = new Own({ formats: ["qr_code"] });
    await detector.detect(new ImageData(64, 64));
    return detector;
  } catch {
    return null;
  }
}

/** @param {any} detector @returns {Detector} */
const byBrowser = (detector) => ({
  by: "browser",
  async read(picture) {
    const [found] = await detector.detect(picture);
    return found?.rawValue ?? null;
  },
  close() {},
});

/** @param {{worker: string, wasm: string}} addresses @returns {Detector} */
function byWorker({ worker: address, wasm }) {
  const worker = new Worker(address);
  worker.postMessage({ wasm: new URL(wasm, location.href).href });
  let asked = 0;
  /** @type {Map<number, {resolve: (text: string | null) => void, reject: (error: Error) => void}>} */
  const waiting = new Map();
  worker.onmessage = ({ data }) => {
    const one = waiting.get(data.asked);
    waiting.delete(data.asked);
    if (data.trouble) one?.reject(new Error(data.trouble));
    else one?.resolve(data.text);
  };
  worker.onerror = () => {
    for (const one of waiting.values()) one.reject(new Error("The reader did not load."));
    waiting.clear();
  };
  return {
    by: "worker",
    read: (picture) =>
      new Promise((resolve, reject) => {
        asked += 1;
        waiting.set(asked, { resolve, reject });
        const { data, width, height } = picture;
        worker.postMessage({ asked, width, height, pixels: data.buffer }, [data.buffer]);
      }),
    close: () => worker.terminate(),
  };
}

/** @param {{worker: string, wasm: string}} addresses @returns {Promise<Detector>} */
export async function openDetector(addresses) {
  const own = await browsersOwn();
  return own ? byBrowser(own) : byWorker(addresses);
}
