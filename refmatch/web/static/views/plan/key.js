/**
 * The key: a ladder of the colours by value, the photo's and the keyed one edge to edge.
 */
import { h } from "../../core/dom.js";
import { pair, pairMark } from "./pair.js";

/**
 * The panel of the key.
 *
 * @param {PlanMade} found
 */
export function keyPanel({ plan: { key }, keyed }) {
  return h("section", { key: "key", class: "panel plan-panel", "aria-labelledby": "plan-key" },
    h("h2", { id: "plan-key" }, keyed ? "The key" : "The key, off"),
    h("p", null, key.words),
    h("p", { class: "small" }, "Light to dark; left the photo, right ", keyed ? "keyed." : "what is mixed for: the same."),
    h("ol", { class: "plan-ladder" }, key.lines.map((line) => h("li", { key: line.number },
      h("span", { class: "number" }, line.number),
      pair(line.before, line.after),
      h("span", { class: "plan-told" },
        h("b", null, line.label), h("span", null, line.values), pairMark(line.before, line.after),
        line.cautions.map((caution, i) => h("span", { key: i, class: "small" }, caution)))))));
}
