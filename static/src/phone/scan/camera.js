/** The back camera as a stream of pictures, with its torch where it has one. */
import { t } from "../../shared/language.js";

const WANTED = { video: { facingMode: { ideal: "environment" }, width: { ideal: 1280 }, height: { ideal: 720 } }, audio: false };

/** What to say when there is no picture. @param {unknown} error */
export function cameraTrouble(error) {
  const name = error instanceof DOMException ? error.name : "";
  if (name === "NotAllowedError") return t`The camera is not allowed for this app. Allow it in the browser’s settings, or type the code.`;
  if (name === "NotFoundError" || name === "OverconstrainedError") return t`This device has no camera. Type the code.`;
  if (name === "NotReadableError") return t`Another app holds the camera. Close it, or type the code.`;
  return t`The camera does not start. Type the code.`;
}

/**
 * @param {HTMLVideoElement} video shows the picture
 * @param {MediaDevices | undefined} devices
 */
export async function openCamera(video, devices = navigator.mediaDevices) {
  if (!devices?.getUserMedia) throw new DOMException("no camera here", "NotFoundError");
  const stream = await devices.getUserMedia(WANTED);
  const [track] = stream.getVideoTracks();
  video.srcObject = stream;
  await video.play();
  const able = /** @type {any} */ (track.getCapabilities?.() ?? {});
  return {
    hasTorch: Boolean(able.torch),
    /** @param {boolean} on */
    torch: (on) => track.applyConstraints(/** @type {any} */ ({ advanced: [{ torch: on }] })),
    close() {
      for (const one of stream.getTracks()) one.stop();
      video.srcObject = null;
    },
  };
}
