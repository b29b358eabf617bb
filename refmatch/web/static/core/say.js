/**
 * Words to the painter that belong to no place on the page.
 *
 * `say` is heard by screen readers only; `tell` is also seen for a while, with a sign,
 * for what went wrong or needs to be known.
 */
import { h, make } from "./dom.js";

const SEEN_MS = 12000;
const quiet = make(h("p", { class: "unseen", role: "status", "aria-live": "polite" }));
const notices = make(h("div", { class: "notices", role: "alert" }));

/**
 * Put the two live regions in the page; call once.
 *
 * @param {HTMLElement} body
 */
export function layVoices(body) {
  body.append(quiet, notices);
}

/**
 * Speak to screen readers.
 *
 * @param {string} text
 */
export function say(text) {
  quiet.textContent = text;
}

/**
 * Show and speak one sentence; it goes by itself, or when sent away.
 *
 * @param {string} text
 */
export function tell(text) {
  const gone = () => { notice.remove(); };
  /** @type {HTMLElement} */
  const notice = make(h("p", { class: "notice" },
    h("span", { class: "sign", "aria-hidden": true }, "!"),
    h("span", null, text),
    h("button", { type: "button", onclick: gone, "aria-label": "Put this message away" }, "×")));
  [...notices.children].filter((old) => old.textContent === notice.textContent)
    .forEach((old) => old.remove());
  notices.append(notice);
  setTimeout(gone, SEEN_MS);
}
