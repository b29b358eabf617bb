/**
 * A recipe as it is laid out: proportions drawn as a bar, parts in aligned figures, and
 * how near it comes.
 */
import { h } from "../../core/dom.js";
import { figures } from "../../core/fold.js";
import { painted } from "../../core/paint.js";

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
export function recipePart({ hole, recipe, state }) {
  if (!recipe) return null;
  return h("section", { key: "recipe", class: "recipe", "aria-label": "Recipe" },
    bar(recipe),
    h("ul", { class: "lines" }, recipe.lines.map((line) =>
      h("li", { key: line.words },
        h("span", { class: "parts" }, line.parts),
        chip(line, state),
        h("span", null, line.words)))),
    h("p", { class: "small" }, `${recipe.total_words}, for ${finishWords(state)}`),
    recipe.straight_words && h("p", { key: "straight", class: "small" }, recipe.straight_words),
    h("p", { key: "off" }, "On paper, mix beside photo: ", recipe.words || "no difference to speak of", "."),
    figures(distance(hole, recipe, state)));
}

/**
 * What is laid out; a dark tube tells its colour only in white, so its tint stands beside it.
 *
 * @param {RecipeLine} line @param {State} state
 */
function chip(line, state) {
  const tube = state.box.tubes.find(({ tube: name }) => name === line.tube);
  return h("span", { class: "chip", "aria-hidden": true },
    h("span", { key: "paint", class: "half", ...painted(line.colour) }),
    tube && !tube.is_white && h("span", { key: "tint", class: "half", ...painted(tube.tint) }));
}

/** @param {State} state */
function finishWords(state) {
  const { finish } = state.options;
  return finish === "gloss" ? "paint that dries glossy, seen out of its shine" : `paint that dries ${finish}`;
}

/** @param {Hole} hole @param {Recipe} recipe @param {State} state */
function distance(hole, recipe, state) {
  /** @type {[words: string, value: number | null][]} */
  const rows = [
    ["expected, half within", recipe.delta_e_00_expected],
    ["expected, 9 in 10 within", recipe.delta_e_00_expected_p90],
    ["by hand alone, half within", recipe.delta_e_00_hand],
    ["on paper", recipe.delta_e_00],
  ];
  return h("div", { class: "distance" },
    h("dl", { class: "figures small" }, rows.map(([words, value]) =>
      value !== null && h("div", { key: words }, h("dt", null, words), h("dd", null, `ΔE00 ${value.toFixed(1)}`)))),
    h("p", { class: "small" }, labWords("photo", hole.colour)),
    h("p", { class: "small" }, labWords("mix", recipe.colour)),
    h("p", { class: "small" }, `${recipe.difference_words} (mix minus photo)`),
    state.flags.some(({ name }) => name === "generic_curves")
      && h("p", { key: "generic", class: "small" }, "Generic curves of pigments are about 3 ΔE00 off real paint, sometimes 9."),
    recipe.trade && h("p", { class: "small" }, recipe.trade));
}

/** @param {string} whose @param {Colour} colour */
function labWords(whose, { lab }) {
  const [lightness, a, b] = lab.map((value) => value.toFixed(0).replace(/^-0$/, "0").replace("-", "−"));
  return `${whose} L* ${lightness}, a* ${a}, b* ${b}`;
}
