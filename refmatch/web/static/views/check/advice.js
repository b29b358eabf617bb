/**
 * What to add to a puddle, and saying what was done: it begins the next round.
 */
import { h } from "../../core/dom.js";
import { painted } from "../../core/paint.js";
import { one } from "./figures.js";
import { otherwise } from "./otherwise.js";

/**
 * Describe the advice of a round; where something was done, what the puddle holds now.
 *
 * @param {Hole} hole
 * @param {Puddle} puddle
 * @param {Round} last
 * @param {CheckView} view
 */
export function advicePart(hole, puddle, last, view) {
  return h("section", { key: "advice", id: `advice-${hole.key}`, class: "check-advice", tabindex: -1, "aria-label": "What to do" },
    last.done ? done(hole, puddle, last, view) : told(hole, puddle, last, view));
}

/** @param {Hole} hole @param {Puddle} puddle @param {Round} last @param {CheckView} view */
function done(hole, puddle, last, view) {
  const off = puddle.now?.delta_e_00 ?? null;
  return [
    h("p", { key: "done" }, "You ", h("b", null, last.done?.words), "."),
    puddle.now && h("p", { key: "now" }, "The puddle now holds ", h("b", null, puddle.now.words), "."),
    off !== null && h("p", { key: "off", class: "small" },
      `By what was seen and added it is now ΔE00 ${one(off)} from its target.`),
    h("p", { key: "wait", class: "check-wait" },
      "Stir it well, paint a new dab, and photograph that: it waits for the next photo."),
    h("button", { key: "back", type: "button", onclick: () => then(hole, view.checks.takeBack(hole.key, last)) }, "I did not do this"),
  ];
}

/** @param {Hole} hole @param {Puddle} puddle @param {Round} last @param {CheckView} view */
function told(hole, puddle, last, view) {
  /** @param {Fields} fields */
  const did = (fields) => then(hole, view.checks.did(hole.key, last, fields));
  return [
    last.corrections.length > 0
      ? h("ol", { key: "ways", class: "check-ways" }, last.corrections.map((each, i) => way(each, i, last, did)))
      : h("p", { key: "none", class: "check-wait" }, last.advice),
    last.fresh && h("p", { key: "fresh", class: "row" },
      last.fresh_words && h("span", null, "Mix ", h("b", null, last.fresh_words), "."),
      h("button", { type: "button", class: "strong", onclick: () => did({ anew: true }) }, "I mixed it anew")),
    otherwise(hole, puddle, last, did, view),
  ];
}

/**
 * What was pressed is gone afterwards; the eye of the keyboard goes on to what stands there now.
 *
 * @param {Hole} hole
 * @param {Promise<boolean>} doing
 */
async function then(hole, doing) {
  if (await doing) document.getElementById(`advice-${hole.key}`)?.focus();
}

/**
 * @param {Correction} correction
 * @param {number} i
 * @param {Round} last
 * @param {(fields: Fields) => void} did
 */
function way(correction, i, last, did) {
  return h("li", { key: i, class: "check-way" },
    h("span", { class: "check-small-pair", "aria-hidden": true },
      h("span", { key: "target", class: "half", ...painted(last.target) }),
      h("span", { key: "then", class: "half", ...painted(correction.colour) })),
    h("div", { class: "check-told" },
      h("p", { class: i === 0 && "check-best" }, i > 0 && h("b", null, "Or: "), correction.words),
      h("p", { class: "small" }, `Would leave ΔE00 ${one(correction.predicted_delta_e_00)}, if all is as believed.`)),
    h("button", {
      type: "button",
      class: i === 0 && "strong",
      "aria-label": `I did this: ${correction.words}`,
      onclick: () => did({ correction: i + 1 }),
    }, "I did this"));
}
