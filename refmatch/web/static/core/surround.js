/**
 * The neutral round the photo: light, middle or dark, kept in this browser.
 */
import { h } from "./dom.js";

const KEY = "refmatch-surround";
const KINDS = ["light", "middle", "dark"];

/** Put the surround chosen last time on the page. */
export function recallSurround() {
  const kept = localStorage.getItem(KEY) ?? "";
  setSurround(KINDS.includes(kept) ? kept : "middle");
}

/**
 * The three buttons; `again` draws the header anew.
 *
 * @param {() => void} again
 */
export function surroundButtons(again) {
  const now = document.documentElement.dataset.surround;
  return h("div", { class: "surrounds", role: "group", "aria-label": "Surround" },
    h("span", { class: "surround-word small", "aria-hidden": true }, "Surround"),
    KINDS.map((kind) => h("button", {
      key: kind,
      type: "button",
      class: ["surround", kind],
      "aria-pressed": kind === now,
      "aria-label": `${kind} surround`,
      title: `${kind} surround`,
      onclick: () => { setSurround(kind); again(); },
    })));
}

/** @param {string} kind */
function setSurround(kind) {
  document.documentElement.dataset.surround = kind;
  localStorage.setItem(KEY, kind);
}
