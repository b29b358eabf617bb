/**
 * Figures folded behind one word: a painter needs the words, a tutor may want the figures.
 *
 * Opened once they stay open, wherever figures are, until they are folded again.
 */
import { h } from "./dom.js";

const KEY = "refmatch-figures";

/**
 * Describe what is folded behind "Figures", or another word.
 *
 * @param {Child[]} children
 */
export function figures(...children) {
  /** @param {On<Event, HTMLDetailsElement>} event */
  const keep = ({ target }) => localStorage.setItem(KEY, target.open ? "open" : "");
  return h("details", { key: "figures", class: "figures-fold", open: localStorage.getItem(KEY) === "open", ontoggle: keep },
    h("summary", { class: "small" }, "Figures"), children);
}
