/**
 * Other ways to the same colour, to choose among: swatch, parts, and how near each comes.
 */
import { h } from "../../core/dom.js";
import { figures } from "../../core/fold.js";
import { painted } from "../../core/paint.js";
import { asked } from "./asked.js";
import { bar, partsLine } from "./recipe.js";

/**
 * The choice of recipe; said where there is but one.
 *
 * @param {Shared} shared
 */
export function others({ hole, state, studio }) {
  if (!hole.recipes.length) return null;
  if (hole.recipes.length === 1 && !hole.held) {
    return h("p", { key: "others", class: "others small" }, "No other way with these tubes comes near this one.");
  }
  return h("fieldset", { key: "others", class: "others" },
    h("legend", null, "Ways to mix it"),
    hole.recipes.map((recipe, i) => h("label", {
      key: recipe.why,
      class: ["other", i === hole.chosen && "chosen"],
    },
    h("input", {
      type: "radio",
      name: `way-${hole.key}`,
      checked: i === hole.chosen,
      "data-now": i === hole.chosen,
      onchange: (event) => asked(studio, event, "choose", { hole: hole.key, why: recipe.why }),
    }),
    h("span", { class: "small-pair", "aria-hidden": true },
      h("span", { key: "target", class: "half", ...painted(hole.colour) }),
      h("span", { key: "mix", class: "half", ...painted(recipe.under[state.options.lamp] ?? recipe.colour) })),
    h("span", { class: "other-words" },
      h("b", null, recipe.why),
      recipe.better && h("span", { key: "better" }, recipe.better),
      h("span", { class: "small" }, partsLine(recipe)),
      bar(recipe)),
    h("span", { class: "other-near" }, recipe.verdict))),
    figures(h("dl", { class: "figures small" }, hole.recipes.map((recipe) => h("div", { key: recipe.why },
      h("dt", null, recipe.why), h("dd", null, `ΔE00 ${(recipe.delta_e_00_expected ?? recipe.delta_e_00_hand).toFixed(1)}`))))),
    hole.held && h("button", {
      key: "free",
      type: "button",
      onclick: () => studio.change("choose", { hole: hole.key, why: "first choice" }),
    }, "As the plan mixes it best"));
}
