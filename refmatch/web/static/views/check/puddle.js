/**
 * A puddle: its target between its dab as photographed and as it is believed to be, what is off in words, and what to do about it.
 */
import { h } from "../../core/dom.js";
import { figures as folded } from "../../core/fold.js";
import { painted, screenMark } from "../../core/paint.js";
import { nudgesPart } from "../../parts/nudges/nudges.js";
import { doubts } from "../../parts/slip/said.js";
import { advicePart } from "./advice.js";
import { labWords, one } from "./figures.js";
import { historyPart } from "./history.js";
import { byRecipe, mixedPart } from "./mixed.js";
import { word } from "./word.js";

const OTHER_TARGET = {
  name: "other_target",
  text: "The target has another colour now than when this dab was looked at; look at a dab again.",
};

/**
 * Describe the puddle of a hole; closed it is a row, open it holds all that is known of it.
 *
 * @param {Hole} hole
 * @param {Puddle} puddle
 * @param {CheckView} view
 */
export function puddlePart(hole, puddle, view) {
  const open = view.studio.chosen === hole.key;
  return h("article", {
    key: hole.key,
    id: `puddle-${hole.key}`,
    class: ["check-puddle", open && "open"],
    "aria-label": `Puddle ${hole.number}, ${hole.heading}`,
  }, row(hole, puddle, view, open), open && body(hole, puddle, view));
}

/** @param {Hole} hole @param {Puddle} puddle @param {CheckView} view @param {boolean} open */
function row(hole, puddle, view, open) {
  const last = puddle.rounds.at(-1);
  return h("h3", { key: "row", class: "check-row" },
    h("button", {
      type: "button",
      class: "bare",
      "aria-expanded": open,
      onclick: () => view.studio.choose(open ? null : hole.key),
    },
      !open && h("span", { key: "pair", class: "check-small-pair", "aria-hidden": true },
        h("span", { key: "target", class: "half", ...painted(last?.target ?? hole.colour) }),
        last && h("span", { key: "dab", class: "half", ...painted(last.colour) })),
      h("span", { key: "number", class: "number" }, hole.number),
      h("span", { key: "told", class: "check-told" }, h("b", null, hole.heading),
        h("span", { class: "small" }, rowWords(puddle, last, open))),
      last && h("span", { key: "verdict", class: "check-verdict" }, h("b", null, verdictWord(last)))));
}

/** @param {Puddle} puddle @param {Round | undefined} last @param {boolean} open */
function rowWords({ now, rounds }, last, open) {
  if (!now) return "no recipe yet";
  if (!last) return `not looked at yet; holds ${now.words}`;
  if (last.done) return `${last.done.words}; waits for the next photo`;
  if (open) return ["", "looked at once", "looked at twice"][rounds.length] ?? `looked at ${rounds.length} times`;
  return last.words || last.advice;
}

/**
 * Off or not, in a word: nobody needs to see the swatches.
 *
 * @param {Round} round
 */
function verdictWord({ verdict }) {
  if (verdict === "off") return "off";
  return verdict === "this photo cannot tell" ? "cannot be told" : "as near as can be told";
}

/** @param {Hole} hole @param {Puddle} puddle @param {CheckView} view */
function body(hole, puddle, view) {
  const last = puddle.rounds.at(-1);
  return h("div", { key: "body", class: "check-body" },
    last ? found(last, puddle) : nothingYet(hole, puddle, view),
    last && advicePart(hole, puddle, last, view),
    word(hole.key, view.checks),
    last && historyPart(puddle, view),
    puddle.now && nudgesPart(hole, view.studio, view.draw),
    h("p", { key: "heard", class: "unseen", role: "status" }, last && `${hole.heading}: ${heard(last, puddle)}`));
}

/** @param {Round} round @param {Puddle} puddle */
function heard({ done, sentence, advice }, { now }) {
  return done ? `you ${done.words}. The puddle now holds ${now?.words}.` : `${sentence} ${advice}`;
}

/** @param {Hole} hole @param {Puddle} puddle @param {CheckView} view */
function nothingYet(hole, { now, pencilled }, view) {
  if (!now) return h("p", { key: "none" }, "No tubes on the table make this colour, so there is no puddle to check.");
  return [
    h("p", { key: "none" }, pencilled ? "As you mixed it the puddle holds " : "By its recipe the puddle holds ",
      h("b", null, now.words), ". Dab it, and photograph the dab."),
    mixedPart(hole, view),
    pencilled && byRecipe(hole, view),
  ];
}

/** @param {Round} last @param {Puddle} puddle */
function found(last, puddle) {
  return [
    h("div", { key: "pair", class: "check-pair", role: "img", "aria-label": `The dab as photographed, the target, and the puddle as it is believed to be, side by side. ${last.sentence}` },
      h("div", { class: "check-halves" },
        h("div", { key: "photographed", class: "half", ...painted(last.photographed) }),
        h("div", { key: "target", class: "half", ...painted(last.target) }),
        h("div", { key: "dab", class: "half", ...painted(last.colour) }))),
    h("div", { key: "under", class: "check-under small" },
      ground("photographed", last.photographed), ground("target", last.target), ground("believed", last.colour)),
    h("p", { key: "sentence", class: "check-sentence" }, last.sentence),
    h("p", { key: "distance", class: "small" }, distance(last)),
    folded(h("ul", { class: "check-distances small" },
      h("li", null, "photographed ", figures(last.photographed), `: ${last.photographed_words}`),
      h("li", null, "target ", figures(last.target)),
      h("li", null, "believed ", figures(last.colour), `: ${last.colour_words}`),
      h("li", null, `off by ΔE00 ${one(last.delta_e_00)} ± ${one(last.doubt_delta_e_00)}`))),
    h("div", { key: "flags", class: "check-flags" }, doubts(puddle.has_other_target ? [OTHER_TARGET, ...puddle.flags] : puddle.flags)),
  ];
}

/** @param {string} name @param {Colour} colour */
function ground(name, colour) {
  return h("p", { key: name }, h("b", null, name), " ", screenMark(colour));
}

/** @param {Round} last */
function distance({ way, state, light }) {
  const by = way === "side by side" ? way : way && `by the ${way}`;
  const seen = [by, state, light && `light ${light}`].filter(Boolean).join(", ");
  return `Photographed is what the photo says alone, believed what photo and recipe say together.${seen && ` Looked at ${seen}.`}`;
}

/** @param {Colour} colour */
function figures(colour) {
  return h("span", { class: "check-figures" }, labWords(colour));
}
