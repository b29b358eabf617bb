/**
 * A recipe as it is laid out: proportions drawn as a bar, parts in aligned figures, and
 * how near it comes.
 */
import { h } from "../../core/dom.js";
import { painted } from "../../core/paint.js";
import { doubts } from "./said.js";

/**
 * The recipe in one line: "24 titanium white + 7 hansa yellow".
 *
 * @param {Recipe | undefined} recipe
 */
export function partsLine(recipe) {
  if (!recipe) return "no mix";
  return recipe.lines.map((line) => `${line.parts} ${line.words}`).join(" + ");
}

/**
 * The drawn proportions of a recipe.
 *
 * @param {Recipe} recipe
 */
export function bar(recipe) {
  return h("div", { class: "bar", "aria-hidden": true }, recipe.lines.map((line) => {
    const paint = painted(line.colour);
    return h("span", { key: line.words, ...paint, style: { ...paint.style, "flex-grow": line.share } });
  }));
}

/**
 * All of it: bar, parts, how far off, and what that cannot know.
 *
 * @param {Shared} shared
 */
export function recipePart({ recipe, state }) {
  if (!recipe) return null;
  return h("section", { key: "recipe", class: "recipe", "aria-label": "Recipe" },
    bar(recipe),
    h("ul", { class: "lines" }, recipe.lines.map((line) =>
      h("li", { key: line.words },
        h("span", { class: "parts" }, line.parts),
        h("span", { class: "chip", "aria-hidden": true, ...painted(line.colour) }),
        h("span", null, line.words)))),
    h("p", { class: "small" }, `${recipe.total_words}, told for ${finishWords(state)}`),
    recipe.straight_words && h("p", { key: "straight", class: "small" }, recipe.straight_words),
    distance(recipe),
    doubts(state.flags));
}

/** @param {State} state */
function finishWords(state) {
  const { finish } = state.options;
  return finish === "gloss" ? "paint that dries glossy, seen out of its shine" : `paint that dries ${finish}`;
}

/** @param {Recipe} recipe */
function distance(recipe) {
  /** @type {[words: string, value: number][]} */
  const rows = [
    ["on paper", recipe.delta_e_00],
    ["by hand, half within", recipe.delta_e_00_hand],
    ["by hand, 9 in 10 within", recipe.delta_e_00_hand_p90],
  ];
  return h("div", { class: "distance" },
    h("p", null, "Mix beside photo: ", recipe.words || "no difference to speak of", "."),
    h("dl", { class: "figures small" }, rows.map(([words, value]) =>
      h("div", { key: words }, h("dt", null, words), h("dd", null, `ΔE00 ${value.toFixed(1)}`)))),
    h("p", { class: "small" }, `${recipe.difference_words} (mix minus photo)`),
    recipe.trade && h("p", { class: "small" }, recipe.trade));
}
