/**
 * The palette: which tubes, how much of each, what is lost without it, and what fewer would do.
 */
import { h } from "../../core/dom.js";
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
    h("p", null, plan.palette.words),
    h("ol", { class: "plan-tubes" }, tubes.map((tube) => h("li", { key: tube.tube },
      tubePaint(tube),
      h("span", { class: "plan-told" },
        h("b", null, tube.tube),
        plan.amounts && h("span", null, of(plan.amounts.tubes, tube.tube)?.squeeze_words ?? "none needed"),
        h("span", { class: "small" }, of(plan.without, tube.tube)?.words ?? ""))))),
    plan.amounts
      ? h("p", { class: "small" }, plan.amounts.words)
      : h("p", { class: "small" }, "How much of each is told once the size of the canvas is known: ",
        h("a", { href: `#/${studio.id}/look` }, "say it in Look, under Canvas"), "."),
    lines("What each tube fewer costs: of so many, those with the least ΔE00 to expect", plan.prices.map(({ words }) => words)),
    lines("Palettes of the trade, from your tubes", plan.known_palettes.map(({ words }) => words)));
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
