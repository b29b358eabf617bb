/**
 * The order of mixing, with the colour after each step. Choosing a step shows its colour
 * beside the target; the arrow keys walk through them.
 */
import { h } from "../../core/dom.js";
import { painted } from "../../core/paint.js";
import { showStep, stepShown } from "./shown.js";

/**
 * @typedef {object} StepRow
 * @property {Hole} hole
 * @property {RecipeStep} [step]
 * @property {Colour} colour
 * @property {string} words
 * @property {number | string} number
 * @property {boolean} checked
 * @property {(event: { target: Element }) => void} look
 */

/**
 * The steps of a recipe as a choice of what the mix half shows.
 *
 * @param {Shared} shared
 */
export function stepsPart({ hole, recipe, state, again }) {
  if (!recipe) return null;
  const lamp = recipe.under[state.options.lamp];
  const shown = stepShown(hole, recipe);
  /** @param {number | null} step */
  const look = (step) => (/** @type {{ target: Element }} */ event) => {
    showStep(hole, recipe, step);
    again(event);
  };
  return h("fieldset", { key: "steps", class: "steps-of" },
    h("legend", null, lamp ? "Steps, in daylight" : "Steps"),
    h("ol", null,
      recipe.steps.map((step, i) => h("li", { key: i }, row({
        hole,
        step,
        colour: step.colour,
        words: step.text,
        number: i + 1,
        checked: shown === i,
        look: look(i),
      }))),
      h("li", { key: "all" }, row({
        hole,
        colour: lamp ?? recipe.colour,
        words: "The finished mix",
        number: "",
        checked: shown === null,
        look: look(null),
      }))));
}

/** @param {StepRow} stepRow */
function row({ hole, step, colour, words, number, checked, look }) {
  return h("label", { class: ["step-row", checked && "chosen"] },
    h("input", {
      type: "radio",
      class: "veiled",
      name: `step-${hole.key}`,
      checked,
      onchange: look,
    }),
    h("span", { class: "chip", "aria-hidden": true, ...painted(colour) }),
    h("span", { class: "step-number", "aria-hidden": true }, number),
    h("span", null, words, (step?.flags ?? []).map((flag) => h("span", { key: flag.name, class: "flag small" },
      h("span", { class: "sign", "aria-hidden": true }, "!"), " ", flag.text))));
}
