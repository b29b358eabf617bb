/**
 * Saying what a puddle was really mixed of, in one line as a recipe is printed.
 */
import { h } from "../../core/dom.js";

/**
 * Describe the line; `last` is the puddle's last round, where it was looked at: then another was mixed.
 *
 * @param {Hole} hole
 * @param {CheckView} view
 * @param {Round} [last]
 */
export function mixedPart(hole, view, last) {
  return h("form", {
    key: `mixed-${last?.pile ?? 0}-${last?.number ?? 0}`,
    class: "check-form check-mixed",
    onsubmit: (event) => {
      event.preventDefault();
      const parts = String(new FormData(event.target).get("parts"));
      view.checks.mixed(hole.key, parts, last);
    },
  },
    h("label", null,
      h("span", null, last ? "Or I mixed another puddle, of" : "I mixed other parts"),
      h("input", {
        name: "parts",
        required: true,
        maxlength: 600,
        autocomplete: "off",
        placeholder: "4½ white, 1 burnt umber, ¼ black",
      })),
    h("button", { type: "submit" }, "That is in it"));
}

/**
 * Describe the way back to the recipe, where other parts were pencilled in before any look.
 *
 * @param {Hole} hole
 * @param {CheckView} view
 */
export function byRecipe(hole, view) {
  return h("div", { key: "by-recipe", class: "row" },
    h("button", { type: "button", onclick: () => view.checks.mixed(hole.key, "") }, "I mixed it by its recipe after all"));
}
