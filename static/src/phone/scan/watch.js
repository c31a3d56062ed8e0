/** Takes pictures of the video, the middle first, until a symbol is read. */
const WIDEST = 960;
const PAUSE_MS = 60;

/** The whole picture, no larger than the reader needs. @param {HTMLVideoElement} video @param {HTMLCanvasElement} canvas */
function picture(video, canvas) {
  const scale = Math.min(1, WIDEST / video.videoWidth);
  canvas.width = Math.round(video.videoWidth * scale);
  canvas.height = Math.round(video.videoHeight * scale);
  const paint = canvas.getContext("2d", { willReadFrequently: true });
  if (!paint || canvas.width === 0 || canvas.height === 0) return null;
  paint.drawImage(video, 0, 0, canvas.width, canvas.height);
  return paint.getImageData(0, 0, canvas.width, canvas.height);
}

/**
 * @param {HTMLVideoElement} video
 * @param {import("./detector.js").Detector} detector
 * @param {(text: string) => void} found  called for each new text; the same one is not told twice in a row
 * @param {(error: Error) => void} failed
 * @returns {() => void} stops watching
 */
export function watchVideo(video, detector, found, failed) {
  const canvas = document.createElement("canvas");
  let going = true;
  let last = "";
  async function look() {
    if (!going) return;
    try {
      const taken = picture(video, canvas);
      const text = taken && (await detector.read(taken));
      if (going && text && text !== last) {
        last = text;
        found(text);
      }
    } catch (error) {
      if (going) failed(/** @type {Error} */ (error));
      going = false;
    }
    if (going) setTimeout(look, PAUSE_MS);
  }
  look();
  return () => {
    going = false;
  };
}
