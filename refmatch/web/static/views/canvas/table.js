/**
 * What is said of the canvas: sentences, then a line for each mass and hole.
 */
import { h } from "../../core/dom.js";
import { painted } from "../../core/paint.js";

/**
 * Describe the panel.
 *
 * @param {CanvasShown} shown
 */
export function table(shown) {
  return h("section", { key: "table", class: "panel canvas-panel", "aria-labelledby": "canvas-said" },
    h("h2", { id: "canvas-said" }, shown.heading),
    h("ul", { key: "words", class: "canvas-words" }, shown.words.map((words) => h("li", { key: words }, words))),
    h("table", { key: "rows", class: "canvas-rows" },
      h("thead", null, h("tr", null,
        h("th", { scope: "col" }, h("span", { class: "unseen" }, "Reference and canvas")),
        h("th", { scope: "col" }, "Mass or hole"),
        h("th", { scope: "col" }, "Value"),
        h("th", { scope: "col" }, "Canvas"),
        h("th", { scope: "col" }, "Verdict"))),
      h("tbody", null, shown.rows.map(row))));
}

/** @param {CanvasRow} each */
function row(each) {
  return h("tr", { key: each.label },
    h("td", null, h("span", { class: "canvas-pair" },
      h("i", { ...painted(each.target) }), h("i", { ...painted(each.seen) }))),
    h("th", { scope: "row" }, each.label),
    h("td", { class: "figure" }, each.value),
    h("td", { class: "figure" }, each.canvas_value),
    h("td", null, each.verdict));
}
