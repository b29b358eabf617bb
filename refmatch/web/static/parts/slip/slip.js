/**
 * A slip: one hole's colour, the mix for it edge to edge, and the way there.
 *
 *     slip(hole, state, studio, { open: hole.key === studio.chosen })
 *
 * Closed it is one row and opens on a click; open it holds all that is known of the hole.
 * Whoever shows slips draws them anew after every change; what only the eye asked for (which
 * step is looked at) is kept here, and redrawn without troubling anyone.
 */
import { h, morph } from "../../core/dom.js";
import { styles } from "../../core/styles.js";
import { screenMark } from "../../core/paint.js";
import { nudgesPart } from "../nudges/nudges.js";
import { keepHeight } from "./height.js";
import { asked } from "./asked.js";
import { cautions, neighbours, reach, values } from "./said.js";
import { LAMPS, lampChoice } from "./lamp.js";
import { layerPart } from "./layer.js";
import { others } from "./others.js";
import { pair, smallPair } from "./pair.js";
import { partsLine, recipePart } from "./recipe.js";
import { stepsPart } from "./steps.js";
import { tubesPart } from "./tubes.js";

/** @typedef {Shared["again"]} Again */

await styles(import.meta.url, "slip.css");
await styles(import.meta.url, "slip-ways.css");

/**
 * Describe the slip of a hole, for `morph`. `open` says whether all of it is shown.
 *
 * @param {Hole} hole
 * @param {State} state
 * @param {Studio} studio
 * @param {{ open?: boolean }} [how]
 */
export function slip(hole, state, studio, { open = false } = {}) {
  /** @param {{ target: Element }} event */
  const again = (event) => {
    const root = event.target.closest(".slip");
    const now = studio.hole(hole.key);
    if (root && now) morph(root, content(now, studio.state, studio, again));
  };
  return h("article", {
    key: hole.key,
    id: `slip-${hole.key}`,
    class: ["slip", open && "open"],
    made: keepHeight,
    "aria-label": `Slip ${hole.number}, ${hole.heading}`,
  }, open ? content(hole, state, studio, again) : closed(hole, state, studio));
}

/** @param {Hole} hole @param {State} state @param {Studio} studio */
function closed(hole, state, studio) {
  const recipe = hole.recipes[hole.chosen];
  return [
    h("h2", { key: "toggle", class: "slip-toggle" },
      h("button", {
        key: "toggle",
        type: "button",
        class: "slip-row bare",
        "aria-expanded": "false",
        onclick: () => studio.choose(hole.key),
      },
      smallPair(hole, recipe, state.options.lamp),
      h("span", { class: "number" }, hole.number),
      h("span", { class: "slip-told" },
        h("span", { class: "slip-heading" }, h("b", null, hole.heading), " ", values(hole.words)),
        h("span", { class: "slip-parts small" }, hole.joined ? `one puddle with slip ${hole.same_as}` : partsLine(recipe))),
      studio.findsAnew ? anew() : verdict(hole, recipe, state, halfWords(state)))),
  ];
}

/** @param {Hole} hole @param {State} state @param {Studio} studio @param {Again} again */
function content(hole, state, studio, again) {
  const recipe = hole.recipes[hole.chosen];
  const shared = { hole, recipe, state, studio, again };
  return [
    head(shared),
    pair(shared),
    h("div", { key: "under", class: "slip-under row" }, lampChoice(shared), screenMark(hole.colour)),
    h("div", { key: "words", class: "slip-words" },
      h("p", { class: "slip-value" }, values(hole.words)), reach(hole), joined(hole, studio), neighbours(hole)),
    h("div", { key: "mix", class: "slip-mix" }, recipePart(shared), stepsPart(shared)),
    cautions(hole, recipe, state),
    others(shared),
    tubesPart(shared),
    layerPart(shared),
    recipe && nudgesPart(hole, studio, () => redraw(hole, again)),
    h("p", { key: "heard", class: "unseen", role: "status" },
      `Hole ${hole.number}: ${recipe?.verdict ?? "no mix"}. ${partsLine(recipe)}`),
    h("div", { key: "foot", class: "slip-foot row" },
      elsewhere(studio),
      h("button", {
        type: "button",
        onclick: () => studio.change("remove", { hole: hole.key }),
      }, `Remove hole ${hole.number}`)),
  ];
}

/**
 * Draw an open slip anew, when something that it shows has come.
 *
 * @param {Hole} hole
 * @param {Again} again
 */
function redraw({ key }, again) {
  const target = document.querySelector(`#slip-${CSS.escape(key)}.open`);
  if (target) again({ target });
}

/**
 * The way to the other view that shows slips.
 *
 * @param {Studio} studio
 */
function elsewhere(studio) {
  const onMix = document.body.dataset.view === "mix";
  return h("a", { href: `#/${studio.id}/${onMix ? "look" : "mix"}` },
    onMix ? "Show it on the photo" : "Larger, in Mix");
}

/** @param {Shared} shared */
function head({ hole, recipe, state, studio }) {
  return [
    h("h2", { key: "toggle", class: "slip-toggle" },
      h("button", {
        key: "toggle",
        type: "button",
        class: "slip-number bare",
        "aria-expanded": "true",
        onclick: () => studio.choose(null),
      },
      h("span", { class: "number" }, hole.number),
      h("span", { class: "unseen" }, ` ${hole.heading}, close this slip`))),
    h("input", {
      key: "name",
      class: "slip-name",
      value: hole.named ? hole.label : "",
      placeholder: hole.heading,
      maxlength: 60,
      autocomplete: "off",
      "aria-label": `Name of hole ${hole.number}`,
      onchange: (event) => rename(event, hole, studio),
      onkeydown: (event) => event.key === "Enter" && rename(event, hole, studio),
    }),
    studio.findsAnew ? anew() : verdict(hole, recipe, state),
  ];
}

/** In the verdict's place while every mix is reckoned again. */
function anew() {
  return h("span", { key: "verdict", class: "slip-verdict anew" }, h("b", null, "finding mixes anew"));
}

/**
 * That an earlier hole has the same colour: its puddle serves here too, unless this one is mixed by itself.
 *
 * @param {Hole} hole @param {Studio} studio
 */
function joined({ key, same_as, joined: isOne }, studio) {
  const first = same_as && studio.state.holes[same_as - 1];
  if (!first) return null;
  /** @param {boolean} wanted */
  const join = (wanted) => studio.change("join", { hole: key, joined: wanted });
  return h("div", { key: "same", class: "slip-same" },
    h("p", null, `The same colour as ${first.number}, ${first.heading}: `, isOne ? "one puddle serves both." : "one puddle could serve both."),
    h("p", { class: "row" },
      studio.state.plan === null && h("button", { key: "join", type: "button", onclick: () => join(!isOne) },
        isOne ? "Mix it by itself" : "Mix one puddle for both"),
      h("button", { key: "to", type: "button", onclick: () => studio.choose(first.key) }, `To slip ${first.number}`)));
}

/** @param {On<Event, HTMLInputElement>} event @param {Hole} hole @param {Studio} studio */
function rename(event, hole, studio) {
  const label = event.target.value.trim();
  if (label === (hole.named ? hole.label : "")) return;
  asked(studio, event, "name", { hole: hole.key, label });
}

/**
 * How near the mix is expected to come, from this hand and these tubes.
 *
 * @param {Hole} hole
 * @param {Recipe | undefined} recipe
 * @param {State} state
 */
function verdict(hole, recipe, { options: { lamp } }, more = "") {
  return h("span", { key: "verdict", class: "slip-verdict" },
    h("b", null, recipe?.verdict ?? "no mix"),
    recipe && h("span", { class: "small" }, lamp === "D50" ? "to be expected" : "expected by day"),
    !hole.in_gamut && h("span", { class: "small" },
      h("span", { class: "sign", "aria-hidden": true }, "!"), " out of reach"),
    more && h("span", { class: "small" }, more));
}

/**
 * In which light a closed slip shows its mix, where that is not by day.
 *
 * @param {State} state
 */
function halfWords({ options: { lamp } }) {
  return lamp === "D50" ? "" : `shown: mix, ${LAMPS[lamp]}`;
}
