/** The camera's picture with what it reads; typed codes always stay one tap away on the page around it. */
import { useEffect, useRef, useState } from "preact/hooks";

import { t } from "../../shared/language.js";
import { cameraTrouble, openCamera } from "../scan/camera.js";
import { openDetector } from "../scan/detector.js";
import { watchVideo } from "../scan/watch.js";
import { useApp } from "./app.js";

const READER_TROUBLE = t`The label reader did not load. Go back on the network once, or type the code.`;

/** Opens camera and reader together; what was opened is closed again, however early the page is left.
 * @param {any} video @param {import("./app.js").App["addresses"]} addresses
 * @param {{camera: (camera: any) => void, trouble: (text: string) => void, found: (text: string) => void}} told
 * @param {() => boolean} gone
 */
async function begin(video, addresses, told, gone) {
  const opened = await Promise.allSettled([openCamera(video), openDetector(addresses)]);
  const [camera, detector] = opened.map((one) => (one.status === "fulfilled" ? /** @type {any} */ (one.value) : null));
  const close = () => {
    camera?.close();
    detector?.close();
  };
  if (gone()) return close();
  if (!camera || !detector) {
    close();
    return told.trouble(camera ? READER_TROUBLE : cameraTrouble(/** @type {any} */ (opened[0]).reason));
  }
  told.camera(camera);
  const stop = watchVideo(video, detector, told.found, () => told.trouble(READER_TROUBLE));
  return () => {
    stop();
    close();
  };
}

/** @param {{onText: (text: string) => void, hint: string, low?: boolean}} props `low`: leaves room for more */
export function Scanner({ onText, hint, low = false }) {
  const { addresses } = useApp();
  const video = useRef(/** @type {HTMLVideoElement | null} */ (null));
  const heard = useRef(onText);
  heard.current = onText;
  const [camera, setCamera] = useState(/** @type {any} */ (null));
  const [trouble, setTrouble] = useState("");
  const [lit, setLit] = useState(false);

  useEffect(() => {
    let left = false;
    /** @type {(() => void) | void} */ let end;
    const told = { camera: setCamera, trouble: setTrouble, found: (/** @type {string} */ text) => heard.current(text) };
    begin(video.current, addresses, told, () => left).then((stop) => {
      end = stop;
      if (left) end?.();
    });
    return () => {
      left = true;
      end?.();
    };
  }, []);

  if (trouble) return <p class="state bad scan-trouble" role="alert">{trouble}</p>;
  return (
    <div class={`scanner${low ? " is-low" : ""}${camera?.hasTorch ? " has-torch" : ""}`}>
      <video ref={video} muted playsInline aria-label={t`Camera picture`} />
      <div class="scan-frame" aria-hidden="true" />
      <p class="scan-hint">{camera ? hint : t`Starting the camera…`}</p>
      {camera?.hasTorch && (
        <button
          type="button" class="action torch" aria-pressed={lit}
          onClick={() => camera.torch(!lit).then(() => setLit(!lit), () => setCamera({ ...camera, hasTorch: false }))}
        >
          {lit ? t`Torch off` : t`Torch on`}
        </button>
      )}
    </div>
  );
}
