/**
 * Two colours edge to edge on the neutral grey; words stand beside it.
 */
import { h } from "../../core/dom.js";
import { painted } from "../../core/paint.js";

/** What is aimed at left, what comes of it right; one field where nothing is aimed at. */
export function pair(left, right) {
  return h("span", { class: "plan-pair", "aria-hidden": true },
    left && h("span", { key: "left", class: "half", ...painted(left) }),
    h("span", { key: "right", class: "half", ...painted(right) }));
}
