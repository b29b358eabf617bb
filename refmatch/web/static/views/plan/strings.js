/**
 * Strings: one local colour from light to shadow, as a ladder, each step drawn from the last.
 */
import { h } from "../../core/dom.js";
import { figures } from "../../core/fold.js";
import { pair, pairMark } from "./pair.js";

/**
 * The panel of strings; null where the picture has none.
 *
 * @param {PlanMade} found
 */
export function stringsPanel({ plan: { strings, targets } }) {
  if (!strings.length) return null;
  return h("section", { key: "strings", class: "panel plan-panel", "aria-labelledby": "plan-strings" },
    h("h2", { id: "plan-strings" }, "Strings"),
    h("p", { class: "small" }, "One local colour from light to shadow, each step drawn from the one beside it. Left what the photo has there, right the puddle."),
    strings.map((string, i) => h("div", { key: i, class: "plan-string" },
      h("h3", null, `${string.label}: ${slips(numbersOf(string, targets))}`),
      string.words && h("p", { class: "small" }, string.words),
      h("ol", { class: "plan-ladder" }, string.steps.map((step, place) => h("li", { key: place },
        h("b", { class: "plan-order" }, `${place + 1}.`),
        pair(step.wanted_lab, step.lab),
        h("span", { class: "plan-told" }, h("span", null, step.words), h("span", { class: "small" }, step.colour_words), pairMark(step.wanted_lab, step.lab))))),
      figures(h("ol", { class: "plan-figures small" }, string.steps.map((step, place) =>
        h("li", { key: place }, `${place + 1}. ΔE00\u00a0${step.delta_e_00.toFixed(1)} from what the photo has there`)))))));
}

/** @param {PlanString} string @param {PlanTarget[]} targets */
function numbersOf(string, targets) {
  return string.targets.flatMap((label) => targets.filter((target) => target.label === label).map(({ number }) => number));
}

/** @param {number[]} numbers */
function slips(numbers) {
  return `${numbers.length === 1 ? "slip" : "slips"} ${numbers.join(", ")}`;
}
