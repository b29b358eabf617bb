/**
 * Two colours edge to edge on the neutral grey; words stand beside it.
 */
import { h } from "../../core/dom.js";
import { painted, screenMark, shows } from "../../core/paint.js";

/**
 * The mark of what this screen cannot show as it is, where a colour of a pair is such.
 *
 * @param {(Colour | null)[]} colours
 */
export function pairMark(...colours) {
  const beyond = colours.find((colour) => colour && !shows(colour));
  return beyond ? screenMark(beyond) : null;
}

/**
 * What is aimed at left, what comes of it right; one field where nothing is aimed at.
 *
 * @param {Colour | null} left
 * @param {Colour} right
 */
export function pair(left, right) {
  return h("span", { class: "plan-pair", "aria-hidden": true },
    left && h("span", { key: "left", class: "half", ...painted(left) }),
    h("span", { key: "right", class: "half", ...painted(right) }));
}
