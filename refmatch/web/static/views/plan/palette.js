/**
 * The palette: which tubes, how much of each, what is lost without it, and what fewer would do.
 */
import { h } from "../../core/dom.js";
import { figures } from "../../core/fold.js";
import { tubePaint } from "../../parts/box/tube.js";

/**
 * The panel of the palette.
 *
 * @param {PlanMade} found
 * @param {Studio} studio
 */
export function palettePanel({ plan, order }, studio) {
  const tubes = order.flatMap((name) => studio.state.box.tubes.filter(({ tube }) => tube === name));
  return h("section", { key: "palette", class: "panel plan-panel", "aria-labelledby": "plan-palette" },
    h("h2", { id: "plan-palette" }, "The palette"),
    h("p", null, `${plan.palette.tubes.length} of the ${plan.reaches[1]?.tubes.length ?? studio.state.box.tubes.length} tubes; ${reached(plan.palette, plan)}.`),
    h("ol", { class: "plan-tubes" }, tubes.map((tube) => h("li", { key: tube.tube },
      tubePaint(tube),
      h("span", { class: "plan-told" },
        h("b", null, tube.tube),
        plan.amounts && h("span", null, of(plan.amounts.tubes, tube.tube)?.squeeze_words ?? "none needed"),
        h("span", { class: "small" }, lost(tube.tube, plan)))))),
    plan.amounts
      ? h("p", { class: "small" }, plan.amounts.words)
      : h("p", { class: "small" }, "How much of each is told once the size of the canvas is known: ",
        h("a", { href: `#/${studio.id}/look` }, "say it in Look, under Canvas"), "."),
    lines("With fewer tubes, or more", plan.prices.map((price) =>
      `${price.count} tubes${price.count === plan.palette.tubes.length ? " (this palette)" : ""}, ${reached(price, plan)}: ${price.tubes.join(", ")}`)),
    lines("Palettes of the trade, from your tubes", plan.known_palettes.map((known) =>
      (known.missing.length ? known.words : `${known.name}: ${reached(known, plan)}`))),
    figures(h("ul", { class: "plan-figures small" }, [
      plan.palette.words,
      ...plan.without.map(({ tube, words }) => `${tube}: ${words}`),
      ...plan.prices.map(({ words }) => words),
      ...plan.known_palettes.map(({ words }) => words),
    ].map((words, i) => h("li", { key: i }, words)))));
}

/**
 * What tubes do not reach, in a painter's words.
 *
 * @param {{ not_reached?: string[] }} does
 * @param {PlanShown} plan
 */
function reached({ not_reached: missed = [] }, { targets }) {
  const slips = slipsOf(missed, targets);
  return slips ? `${slips} out of reach` : "they reach all";
}

/**
 * What is lost without a tube.
 *
 * @param {string} tube
 * @param {PlanShown} plan
 */
function lost(tube, { without, targets }) {
  const left = of(without, tube);
  if (!left) return "";
  const slips = slipsOf(left.lost, targets);
  return slips ? `without it ${slips} out of reach` : "without it all are still reached, though less nearly";
}

/**
 * The slips of some targets: "slip 3", "slips 1, 4", or nothing.
 *
 * @param {string[]} labels
 * @param {PlanTarget[]} targets
 */
function slipsOf(labels, targets) {
  const numbers = targets.filter(({ label }) => labels.includes(label)).map(({ number }) => number);
  return numbers.length > 0 && `${numbers.length === 1 ? "slip" : "slips"} ${numbers.join(", ")}`;
}

/**
 * The row of a tube.
 *
 * @template {{ tube: string }} T
 * @param {T[]} rows
 * @param {string} name
 */
function of(rows, name) {
  return rows.find(({ tube }) => tube === name);
}

/** @param {string} title @param {string[]} items */
function lines(title, items) {
  if (!items.length) return null;
  return h("div", { key: title, class: "plan-lines" },
    h("h3", null, title),
    h("ul", null, items.map((item) => h("li", { key: item }, item))));
}
