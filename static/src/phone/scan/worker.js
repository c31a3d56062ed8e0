/** Reads QR symbols off the page's thread. Its wasm comes from our own server, never from elsewhere. */
import { prepareZXingModule, readBarcodes } from "zxing-wasm/reader";

/** @type {import("zxing-wasm/reader").ReaderOptions} */
const HOW = { formats: ["QRCode"], tryHarder: true, tryInvert: false, maxNumberOfSymbols: 1 };

/** @param {{asked: number, width: number, height: number, pixels: ArrayBuffer}} picture */
async function answer({ asked, width, height, pixels }) {
  try {
    const found = await readBarcodes(new ImageData(new Uint8ClampedArray(pixels), width, height), HOW);
    postMessage({ asked, text: found.find((one) => one.isValid)?.text ?? null });
  } catch (error) {
    postMessage({ asked, trouble: String(error) });
  }
}

onmessage = ({ data }) => {
  if (data.wasm) prepareZXingModule({ overrides: { locateFile: () => data.wasm } });
  else answer(data);
};
