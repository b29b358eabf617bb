/**
 * The sixth step: which dabs would most reduce the doubt of this painting's mixes.
 */
import { h } from "../../core/dom.js";
import { figures } from "../../core/fold.js";
import { step } from "./step.js";

/**
 * Describe what to paint next; `view.advice` is { dabs }, { why }, or null while it is asked for.
 *
 * @param {TubesView} view
 */
export function nextStep(view) {
  return step({ part: "next", number: 6, title: "What to paint next", bench: view.bench },
    h("p", { class: "small" }, `For the mixes of “${view.studio.state.title}”, by the box that it uses now.`),
    content(view));
}

/** @param {TubesView} view */
function content({ advice, studio }) {
  if (!studio.state.holes.length) {
    return h("p", { key: "none" }, "This painting has no mixes yet. ",
      h("a", { href: `#/${studio.id}/look` }, "Punch some holes in Look"), ".");
  }
  if (!advice) return h("p", { key: "wait", role: "status" }, "Weighing which dabs would tell most …");
  if (advice.why) return h("p", { key: "why", role: "alert" }, advice.why);
  if (!advice.dabs.length) {
    return h("p", { key: "enough" }, "No dab would tell much more: these mixes are known about as well as can be.");
  }
  const [first] = advice.dabs;
  return [
    h("p", { key: "doubt" }, "To know these mixes better, paint these dabs, the first one first:"),
    h("ol", { key: "dabs", class: "bench-next" }, advice.dabs.map((dab) => h("li", { key: dab.words }, dab.words))),
    figures(
      h("p", { key: "before", class: "small" }, `As it is, the mixes may be off by ΔE00 ${figure(first.doubt_delta_e_00_before)} (one standard error).`),
      h("ol", { key: "after", class: "plan-figures small" }, advice.dabs.map((dab) =>
        h("li", { key: dab.words }, `with ${dab.words}: ΔE00 ${figure(dab.doubt_delta_e_00_after)}`)))),
    h("p", { key: "how", class: "small" }, "Those that the card has a window for are painted there; the others want a card of ",
      "their own, or an instrument."),
  ];
}

/** @param {number} doubt */
function figure(doubt) {
  return doubt.toFixed(1);
}
