/**
 * Sending a photo to the server, with word of how far it is.
 *
 * The one request that does not go through `request` of core/api.js: only the older way of asking
 * tells how much has been sent, which matters from a phone.
 */
import { Refusal, WINDOW } from "./api.js";

const MB = 1e6;

/**
 * Send a photo's file to a path under /api and resolve to the answer. `most` is the largest
 * size taken, in bytes; `sent(share)` is called with 0 to 1. Throws a Refusal.
 *
 * @param {string} path
 * @param {File} file
 * @param {{ most?: number, sent: (share: number) => void }} how
 */
export async function sendPhoto(path, file, { most, sent }) {
  if (file.type && !file.type.startsWith("image/")) throw new Refusal(400, noPhoto(file));
  if (most && file.size > most) throw new Refusal(413, tooLarge(file, most));
  const asking = new XMLHttpRequest();
  const named = `${path.includes("?") ? "&" : "?"}name=${encodeURIComponent(file.name)}`;
  asking.open("POST", `/api/${path}${named}`);
  asking.setRequestHeader("X-Refmatch-Window", WINDOW);
  asking.responseType = "json";
  asking.upload.addEventListener("progress", (event) => sent(event.loaded / event.total));
  asking.send(file);
  await new Promise((done) => asking.addEventListener("loadend", done));
  if (asking.status === 200) return asking.response;
  throw new Refusal(asking.status, asking.response?.error ?? noAnswer(file));
}

/** @param {File} file */
function noPhoto(file) {
  return `“${file.name}” is not a photo; save or export it as a JPEG, PNG, TIFF, WebP, HEIC or AVIF.`;
}

/** @param {File} file @param {number} most */
function tooLarge(file, most) {
  const size = Math.ceil(file.size / MB);
  return `“${file.name}” has ${size} MB, and ${most / MB} MB are the most; save it smaller, ` +
    "as a JPEG perhaps.";
}

/** @param {File} file */
function noAnswer(file) {
  return `“${file.name}” did not arrive; see that the studio still runs, and try again.`;
}
