/**
 * Under the photo: the line between before and after, how near, and what is clipped.
 */
import { h } from "../../core/dom.js";

/**
 * Describe the range that moves the line, as wide as the photo; `light` is the view.
 *
 * @param {LightView} light
 */
export function lineRange(light) {
  const shot = Math.round(light.line);
  return light.isParted && h("input", {
    key: "line", type: "range", class: "line-range", min: 0, max: 100, step: 1, value: light.line,
    "aria-label": "Line between before and after",
    "aria-valuetext": `as shot on the left ${shot} %, balanced on the right ${100 - shot} %`,
    oninput: (event) => light.moveLine(Number(event.target.value)),
  });
}

/**
 * Describe the strip of buttons.
 *
 * @param {State} state
 * @param {LightView} light
 */
export function strip(state, light) {
  return h("div", { key: "strip", class: "strip" },
    nearness(light.photo),
    h("label", { key: "parted" },
      h("input", {
        type: "checkbox", checked: light.parted, disabled: !light.canPart,
        onchange: (event) => light.part(event.target.checked),
      }), "Before and after"),
    h("label", { key: "clipped" },
      h("input", {
        type: "checkbox", checked: light.clipped, disabled: light.study !== "photo",
        onchange: (event) => light.showClipped(event.target.checked),
      }), "Hatch what is clipped"),
    h("p", { key: "share", class: "small clipped-words" }, clippedWords(state)));
}

/** @param {State} state */
function clippedWords({ light }) {
  return light.flags.find(({ name }) => name === "clipped")?.text
    ?? (light.asked.method === "saved" ? "" : "Less than 0.1 % of the photo is clipped.");
}

/** @param {Stage} photo */
function nearness(photo) {
  /** @param {string} mark @param {string} label @param {() => unknown} act */
  const button = (mark, label, act) =>
    h("button", { key: label, type: "button", "aria-label": label, title: label, onclick: act }, mark);
  return h("div", { key: "near", class: "row joined", role: "group", "aria-label": "How near" },
    button("−", "Zoom out", () => photo.zoom(1 / 1.5)),
    h("output", { class: "percent", "aria-label": "Scale" }, `${Math.round(photo.scale * 100)} %`),
    button("+", "Zoom in", () => photo.zoom(1.5)),
    button("Whole", "The whole photo", () => photo.fit()));
}
