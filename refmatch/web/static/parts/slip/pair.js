/**
 * The target and the mix edge to edge, with nothing between them: where they agree, no
 * line is seen.
 */
import { h } from "../../core/dom.js";
import { painted, screenMark } from "../../core/paint.js";
import { LAMPS } from "./lamp.js";
import { stepShown } from "./shown.js";

/**
 * The large pair of an open slip; a step or a lamp changes the mix half only.
 *
 * @param {Shared} shared
 */
export function pair({ hole, recipe, state }) {
  const { colour, words } = mixHalf(hole, recipe, state.options.lamp);
  return h("div", { key: "pair", class: "slip-pair" },
    h("div", { class: "halves", role: "img", "aria-label": heard(hole, recipe, words) },
      h("div", { key: "target", class: "half", ...painted(hole.colour) }),
      colour && h("div", { key: "mix", class: "half", ...painted(colour) })),
    h("div", { class: "half-words small" },
      h("p", { key: "photo" }, h("b", null, "photo")),
      h("p", { key: "mix" }, h("b", null, words), colour && markOf(colour))));
}

/**
 * The two colours of a closed slip.
 *
 * @param {Hole} hole
 * @param {Recipe | undefined} recipe
 * @param {Options["lamp"]} lamp
 */
export function smallPair(hole, recipe, lamp) {
  const colour = recipe && (recipe.under[lamp] ?? recipe.colour);
  return h("span", { class: "small-pair", "aria-hidden": true },
    h("span", { key: "target", class: "half", ...painted(hole.colour) }),
    colour && h("span", { key: "mix", class: "half", ...painted(colour) }));
}

/** @param {Hole} hole @param {Recipe | undefined} recipe @param {Options["lamp"]} lamp */
function mixHalf(hole, recipe, lamp) {
  if (!recipe) return { colour: null, words: "no mix" };
  const step = stepShown(hole, recipe);
  if (step !== null) return { colour: recipe.steps[step].colour, words: `after step ${step + 1}` };
  if (lamp in recipe.under) return { colour: recipe.under[lamp], words: `mix, ${LAMPS[lamp]}` };
  return { colour: recipe.colour, words: "mix" };
}

/** @param {Hole} hole @param {Recipe | undefined} recipe @param {string} words */
function heard(hole, recipe, words) {
  const mix = recipe ? `${words}: ${recipe.verdict}. ${recipe.words}` : "There is no mix.";
  return `Photo: ${hole.words}. Beside it the ${mix}`;
}

/** @param {Colour} colour */
function markOf(colour) {
  const mark = screenMark(colour);
  return mark && [" ", mark];
}
