/**
 * What the spot is taken for, and how wide it is.
 */
import { h } from "../../core/dom.js";
import { tell } from "../../core/say.js";
import { KINDS } from "./asked.js";

/** @typedef {import("./asked.js").Kind} Kind */

/**
 * Describe the form of the spot; `light` is the view.
 *
 * @param {LightView} light
 */
export function spotForm(light) {
  return [
    h("fieldset", { key: "kind", class: "plain-set" },
      h("legend", null, "I click"),
      /** @type {Kind[]} */ (Object.keys(KINDS)).flatMap((key) => [
        h("label", { key },
          h("input", {
            type: "radio", name: "spot-kind", value: key, checked: light.kind === key,
            onchange: () => light.takeFor(key),
          }), KINDS[key].label),
        key === "grey" && light.kind === key && lightness(light),
      ])),
    h("div", { key: "width", class: "row" },
      h("div", { class: "row joined", role: "group", "aria-label": "Width of the spot" },
        h("button", { type: "button", "aria-label": "Narrower spot", onclick: () => light.size(1 / 1.12) }, "−"),
        h("output", { class: "percent", "aria-label": "Width of the spot" }, `${Math.round(light.diameter)} px`),
        h("button", { type: "button", "aria-label": "Wider spot", onclick: () => light.size(1.12) }, "+")),
      h("span", { class: "small" }, "wide; keep it well inside the thing")),
  ];
}

/** @param {LightView} light */
function lightness(light) {
  /** @param {On<Event, HTMLInputElement>} event */
  const set = ({ target }) => (target.checkValidity()
    ? light.stateLightness(Number(target.value))
    : tell("Its lightness, L*, runs from 5, a black, to 100, a perfect white."));
  return h("label", { key: "lstar", class: "indent" }, "Its lightness, L*",
    h("input", {
      type: "number", inputmode: "decimal", min: 5, max: 100, step: "any", required: true,
      value: light.lstar, onchange: set,
      oninput: ({ target }) => target.checkValidity() && light.typeLightness(Number(target.value)),
    }),
    h("span", { class: "small" }, "not known? Then it is something neutral, above"));
}
