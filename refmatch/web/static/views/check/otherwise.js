/**
 * Saying that something else was done than was told.
 */
import { h } from "../../core/dom.js";
import { mixedPart } from "./mixed.js";

const GROUPS = { tube: "Tubes", "let-down": "Let-downs", core: "This puddle", puddle: "On the palette" };
const ROWS = 2;

/**
 * Describe the forms, folded away; `did(fields)` says it.
 *
 * @param {Hole} hole
 * @param {Puddle} puddle
 * @param {Round} last
 * @param {(fields: Fields) => void} did
 * @param {CheckView} view
 */
export function otherwise(hole, puddle, last, did, view) {
  return h("details", { key: `otherwise-${last.pile}-${last.number}`, class: "check-otherwise" },
    h("summary", null, "I did something else"),
    added(puddle, did),
    mixedPart(hole, view, last),
    h("div", { key: "anew", class: "check-form" },
      h("p", { class: "small" }, "Or another puddle was mixed, and this one kept for greys:"),
      h("button", { type: "button", onclick: () => did({ anew: true }) },
        last.fresh_words ? "I mixed it anew, as told" : "I mixed it anew, by its recipe")));
}

/** @param {Puddle} puddle @param {(fields: Fields) => void} did */
function added({ at_hand: atHand, now }, did) {
  return h("form", {
    key: "added",
    class: "check-form",
    onsubmit: (event) => {
      event.preventDefault();
      did(said(event.target, event.submitter?.getAttribute("value") === "anew"));
    },
  },
    h("p", { class: "small" }, "What went in, counted in the puddle's own parts",
      now && `: it held ${now.parts} of them`, "."),
    Array.from({ length: ROWS }, (_, i) => h("div", { key: i, class: "row" },
      h("label", null, "parts", h("input", {
        name: `parts-${i}`, placeholder: "½", maxlength: 12, autocomplete: "off", required: i === 0,
        "aria-label": `Parts of the ${i ? "second" : "first"} thing added`,
      })),
      h("label", { class: "check-choice" }, "of", h("select", {
        name: `name-${i}`, "aria-label": `The ${i ? "second" : "first"} thing added`,
      }, Object.entries(GROUPS).map(([kind, name]) => group(kind, name, atHand)))))),
    h("label", null, h("input", { type: "checkbox", name: "divided" }),
      h("span", null, "I divided it first, and added this to a third")),
    h("div", { class: "row" },
      h("button", { type: "submit" }, "I added this"),
      h("button", { type: "submit", value: "anew" }, "I mixed a new puddle of just this")));
}

/** @param {string} kind @param {string} name @param {AtHand[]} atHand */
function group(kind, name, atHand) {
  const own = atHand.filter((each) => each.kind === kind);
  return own.length > 0 && h("optgroup", { key: kind, label: name },
    own.map((each) => h("option", { key: each.name, value: each.name }, each.kind === "core" ? "its core, without white" : each.name)));
}

/** @param {HTMLFormElement} form @param {boolean} anew */
function said(form, anew) {
  const data = new FormData(form);
  const rows = Array.from({ length: ROWS }, (_, i) => ({
    name: data.get(`name-${i}`),
    parts: String(data.get(`parts-${i}`) ?? "").trim(),
  }));
  return { added: rows.filter(({ parts }) => parts), anew, divided: !anew && data.has("divided") };
}
