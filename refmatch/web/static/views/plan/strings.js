/**
 * Strings: one local colour from light to shadow, as a ladder, each step drawn from the last.
 */
import { h } from "../../core/dom.js";
import { pair, pairMark } from "./pair.js";

/**
 * The panel of strings; null where the picture has none.
 *
 * @param {PlanMade} found
 */
export function stringsPanel({ plan: { strings } }) {
  if (!strings.length) return null;
  return h("section", { key: "strings", class: "panel plan-panel", "aria-labelledby": "plan-strings" },
    h("h2", { id: "plan-strings" }, "Strings"),
    h("p", { class: "small" }, "One local colour from light to shadow, each step drawn from the one beside it. Left what the photo has there, right the puddle."),
    strings.map((string, i) => h("div", { key: i, class: "plan-string" },
      h("h3", null, `${string.label}: ${slips(string.numbers)}`),
      string.words && h("p", { class: "small" }, string.words),
      h("ol", { class: "plan-ladder" }, string.steps.map((step) => h("li", { key: step.order },
        h("b", { class: "plan-order" }, `${step.order}.`),
        pair(step.wanted, step.mix),
        h("span", { class: "plan-told" }, h("span", null, step.words), h("span", { class: "small" }, step.told), pairMark(step.wanted, step.mix))))))));
}

/** @param {number[]} numbers */
function slips(numbers) {
  return `${numbers.length === 1 ? "slip" : "slips"} ${numbers.join(", ")}`;
}
