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
export function palettePanel({ plan, canvas_cm }, studio) {
  return h("section", { key: "palette", class: "panel plan-panel", "aria-labelledby": "plan-palette" },
    h("h2", { id: "plan-palette" }, "The palette"),
    h("p", null, plan.palette_words),
    h("ol", { class: "plan-tubes" }, plan.tubes.map((tube) => h("li", { key: tube.tube },
      tubePaint(tube),
      h("span", { class: "plan-told" },
        h("b", null, tube.tube),
        tube.amount && h("span", null, tube.amount),
        tube.without && h("span", { class: "small" }, tube.without))))),
    canvas_cm
      ? h("p", { class: "small" }, plan.amounts_words)
      : h("p", { class: "small" }, "How much of each is told once the size of the canvas is known: ",
        h("a", { href: `#/${studio.id}/look` }, "say it in Look, under Canvas"), "."),
    lines("What each tube fewer costs: of so many, those with the least ΔE00 to expect", plan.prices),
    lines("Palettes of the trade, from your tubes", plan.known));
}

/** @param {string} title @param {string[]} items */
function lines(title, items) {
  if (!items.length) return null;
  return h("div", { key: title, class: "plan-lines" },
    h("h3", null, title),
    h("ul", null, items.map((item) => h("li", { key: item }, item))));
}
