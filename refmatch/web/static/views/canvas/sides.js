/**
 * Reference and canvas on one another: parted by a slider, or one and the other in turn.
 */
import { h } from "../../core/dom.js";

export const BLINK_MS = 900;

/** Values first. */
const WAYS = [["-3", "Three values"], ["-5", "Five values"], ["", "As they are"]];

/**
 * Describe the panel.
 *
 * @param {CanvasView} view
 */
export function sides(view) {
  const { ending, parted, blinks } = view;
  const [reference, canvas] = [view.picture(`canvas-reference${ending}`), view.picture(`canvas${ending}`)];
  return h("section", { key: "sides", class: "panel canvas-panel", "aria-labelledby": "canvas-sides" },
    h("h2", { id: "canvas-sides" }, "Reference and canvas"),
    h("fieldset", { key: "ways", class: "canvas-ways" },
      h("legend", null, "See them"),
      h("div", { class: "row joined" }, WAYS.map(([value, word]) => h("label", { key: word, class: "canvas-way" },
        h("input", {
          type: "radio", name: "canvas-ending", value, checked: ending === value, onchange: () => view.take({ ending: value }),
        }), h("span", null, word))))),
    reference && canvas && h("div", {
      key: "both",
      class: ["canvas-sides", blinks && "canvas-blinks"],
      style: { "--parted": `${parted}%` },
    },
      h("img", { key: "reference", alt: "The reference as it is to be painted", src: reference }),
      h("img", { key: "canvas", class: "canvas-over", alt: "The canvas", src: canvas }),
      !blinks && h("span", { key: "line", class: "canvas-line", "aria-hidden": true })),
    h("div", { key: "how", class: "row canvas-how" },
      h("label", { key: "slide", class: "canvas-slide" },
        h("span", null, "Reference"),
        h("input", {
          type: "range", min: 0, max: 100, value: String(parted), disabled: blinks, "aria-label": "Reference left, canvas right",
          oninput: (event) => view.take({ parted: Number(event.target.value) }),
        }),
        h("span", null, "Canvas")),
      h("button", { key: "blink", type: "button", "aria-pressed": String(blinks), onclick: () => view.blink() },
        blinks ? "Stop blinking" : "Blink")));
}
