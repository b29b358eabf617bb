/**
 * A tube as it lies on the table: its masstone and its tint edge to edge, and words.
 */
import { h } from "../../core/dom.js";
import { painted } from "../../core/paint.js";
import { styles } from "../../core/styles.js";

await styles(import.meta.url, "tube.css");

/**
 * Describe a tube's paint: the masstone, and beside it the tint in white.
 *
 * @param {Paint} paint
 */
export function tubePaint({ masstone, tint }) {
  return h("span", { class: "tube-paint", "aria-hidden": true },
    h("span", { key: "masstone", class: "half", ...painted(masstone) }),
    h("span", { key: "tint", class: "half", ...painted(tint) }));
}

/**
 * Describe a tube's name, and below it what is said of the tube.
 *
 * @param {string} name
 * @param {string} told
 */
export function tubeWords(name, told) {
  return h("span", { class: "tube-words" },
    h("span", { class: "tube-name" }, name),
    h("span", { class: "small" }, told));
}
