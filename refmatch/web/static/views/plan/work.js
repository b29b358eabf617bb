/**
 * The order of work as a tree: each puddle from tubes, and under it what is drawn from it.
 */
import { h } from "../../core/dom.js";
import { figures } from "../../core/fold.js";
import { pair, pairMark } from "./pair.js";

/**
 * The panel of the work.
 *
 * @param {PlanMade} found
 */
export function workPanel({ plan }) {
  const work = lines(plan);
  return h("section", { key: "work", class: "panel plan-panel", "aria-labelledby": "plan-work" },
    h("h2", { id: "plan-work" }, "The order of work"),
    h("p", null, plan.puddles.words.join(" ")),
    h("p", { class: "small" }, "Left what a puddle aims at, right the mix; one field where it is only drawn from."),
    layered(work).map(({ layer, lines: own }) => [
      layer && h("h3", { key: `of ${layer}` }, headOf(layer)),
      layer && h("p", { key: `told ${layer}`, class: "small" }, plan.layers.find((each) => each.layer === layer)?.words),
      h("ol", { key: layer ?? "all", class: "plan-work" }, own.filter((line) => line.drawn_from === null).map((line) =>
        h("li", { key: line.order }, puddle(line), drawn(line, work)))),
    ]),
    figures(h("ul", { class: "plan-figures small" }, work.map((line) => h("li", { key: line.order }, `${line.order}. ${line.distance_words}`)))),
    plan.glazes.map((glaze) => h("p", { key: glaze.label }, `A glaze for “${glaze.label}”: ${glaze.words}`)));
}

/**
 * The puddles in the order of work, each with its number in it, its target and its amount.
 *
 * @param {PlanShown} plan
 * @returns {WorkLine[]}
 */
function lines({ puddles, targets, amounts }) {
  return puddles.order.map((mixed, i) => ({
    ...mixed,
    order: i + 1,
    target: targets.find(({ label }) => label === mixed.target) ?? null,
    amount: amounts?.puddles[i].squeeze_words ?? "",
  }));
}

/**
 * The lines by their layers, from the canvas up; one run of all where there are no layers.
 *
 * @param {WorkLine[]} work
 */
function layered(work) {
  const layers = [...new Set(work.map((line) => line.layer))];
  return layers.map((layer) => ({ layer, lines: work.filter((line) => line.layer === layer) }));
}

/** @param {string} name */
function headOf(name) {
  return `${name[0].toUpperCase()}${name.slice(1)}`;
}

/** @param {WorkLine} mother @param {WorkLine[]} work */
function drawn(mother, work) {
  const from = work.filter((line) => line.drawn_from === mother.label);
  if (!from.length) return null;
  return h("ol", { key: "drawn", class: "plan-drawn" },
    from.map((line) => h("li", { key: line.order }, puddle(line))));
}

/** @param {WorkLine} line */
function puddle(line) {
  const aim = line.target?.lab ?? null;
  const named = line.target ? `for slip ${line.target.number}` : "only to draw from";
  const told = [named, line.amount, line.dries === "fast" ? "skins over first in oil" : ""].filter(Boolean).join(", ");
  return h("div", { key: "puddle", class: "plan-puddle" },
    h("b", { class: "plan-order" }, `${line.order}.`),
    pair(aim, line.lab),
    h("span", { class: "plan-told" },
      h("span", null, line.words),
      h("span", { class: "small" }, told),
      pairMark(aim, line.lab)));
}
