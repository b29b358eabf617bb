/**
 * What the photo is to whoever cannot see it: a place for the keys, and what they do there.
 */
import { h } from "../../core/dom.js";

/**
 * Describe the surface that takes the focus; `spotWord` says what Enter does.
 *
 * @param {StageOptions} options
 */
export function surface({ spotWord, onSpot }) {
  const keys = "Arrow keys move a crosshair, with Shift further; plus and minus zoom, "
    + "0 shows the whole photo";
  return h("div", {
    class: "surface",
    tabindex: 0,
    role: "application",
    "aria-roledescription": "photo",
    "aria-label": `The photo. ${keys}${onSpot ? `; Enter: ${spotWord}` : ""}.`,
  });
}

/** Describe the hint that every hole refers to. */
export function holeKeys() {
  return h("p", { id: "hole-keys", class: "unseen" },
    "Arrow keys move the hole, with Shift further; plus and minus size it; F2 names it; ",
    "Delete removes it; Escape goes back to the photo.");
}
