/**
 * How light the painter's grey card is, asked for wherever one lies in a photo.
 */
import { h } from "../core/dom.js";

/** L* of the grey card that most painters have: it returns 18 % of the light. */
export const GREY_LSTAR = 49.5;

/**
 * Describe the field, and what its figure is; `changed` is called with the field when it changes.
 *
 * @param {string} value
 * @param {(input: HTMLInputElement) => void} [changed]
 */
export function greyField(value, changed) {
  return h("div", { key: "grey", class: "grey-field" },
    h("label", null, "L* of your grey card", h("input", {
      name: "grey", type: "number", min: 1, max: 100, step: "any", inputmode: "decimal", value,
      onchange: ({ target }) => changed?.(target),
    })),
    h("p", { class: "small" }, "How light it is, from 0, black, to 100, white: usually 50; it stands on the card’s back."));
}
