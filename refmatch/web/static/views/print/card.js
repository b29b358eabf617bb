/**
 * The card as it looks over the photo, on the ground that the painter likes to judge on.
 */
import { h } from "../../core/dom.js";

const GROUNDS = { grey: "Grey", white: "White", toned: "Toned" };

/**
 * Describe the card's panel; `take(ground)` is called when another ground is chosen.
 *
 * @param {Studio} studio
 * @param {string} ground
 * @param {(ground: string) => void} take
 */
export function cardPanel(studio, ground, take) {
  const { state } = studio;
  if (!state.holes.length) return null;
  const address = studio.url(`card.png?ground=${ground}&revision=${state.revision}`);
  return h("section", { key: "card", class: "panel card-panel", "aria-labelledby": "card-title" },
    h("h2", { id: "card-title" }, "The card over the photo"),
    h("p", { class: "small" }, "All is hidden but the holes, to look at beside your palette."),
    h("fieldset", { class: "papers" },
      h("legend", null, "Ground"),
      Object.entries(GROUNDS).map(([key, word]) => h("label", { key },
        h("input", {
          type: "radio",
          name: "ground",
          checked: key === ground,
          onchange: () => take(key),
        }), word))),
    h("img", { class: "card-seen", src: address, alt: cardWords(state, ground) }),
    h("a", { class: "button", href: address, download: `${state.title} card.png` },
      "Save the card (PNG)"));
}

/** @param {State} state @param {string} ground */
function cardWords(state, ground) {
  const told = state.holes.map((hole) => `${hole.number} ${hole.heading}`).join(", ");
  return `A ${ground} card with a hole for each of: ${told}`;
}
