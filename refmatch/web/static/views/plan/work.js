/**
 * The order of work as a tree: each puddle from tubes, and under it what is drawn from it.
 */
import { h } from "../../core/dom.js";
import { pair, pairMark } from "./pair.js";

/**
 * The panel of the work.
 *
 * @param {PlanMade} found
 */
export function workPanel({ plan }) {
  return h("section", { key: "work", class: "panel plan-panel", "aria-labelledby": "plan-work" },
    h("h2", { id: "plan-work" }, "The order of work"),
    h("p", null, plan.work_words),
    h("p", { class: "small" }, "Left what a puddle aims at, right the mix; one field where it is only drawn from."),
    h("ol", { class: "plan-work" }, plan.work.filter((line) => line.drawn_from === null).map((line) =>
      h("li", { key: line.order }, puddle(line), drawn(line, plan.work)))),
    plan.glazes.map((glaze) => h("p", { key: glaze }, glaze)));
}

/** @param {WorkLine} mother @param {WorkLine[]} work */
function drawn(mother, work) {
  const from = work.filter((line) => line.drawn_from === mother.order);
  if (!from.length) return null;
  return h("ol", { key: "drawn", class: "plan-drawn" },
    from.map((line) => h("li", { key: line.order }, puddle(line))));
}

/** @param {WorkLine} line */
function puddle(line) {
  const named = line.number === null ? "" : `for slip ${line.number}`;
  const told = [named, line.distance, line.amount, line.skins].filter(Boolean).join(", ");
  return h("div", { key: "puddle", class: "plan-puddle" },
    h("b", { class: "plan-order" }, `${line.order}.`),
    pair(line.target, line.mix),
    h("span", { class: "plan-told" },
      h("span", null, line.words),
      h("span", { class: "small" }, told),
      pairMark(line.target, line.mix)));
}
