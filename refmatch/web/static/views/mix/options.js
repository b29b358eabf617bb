/**
 * How mixes are made: how many tubes and parts, the painter's habits, the finish and the
 * light. It holds for every slip.
 */
import { h } from "../../core/dom.js";
import { asked } from "../../parts/slip/asked.js";
import { lampChoice } from "../../parts/slip/lamp.js";

const TUBES = [2, 3, 4, 5];
const TOTALS = [8, 12, 16, 20, 24, 32, 40, 48, 64];

/** @type {[habit: "easy_on_black" | "no_white_in_darks" | "no_stray_green", words: string][]} */
const HABITS = [
  ["easy_on_black", "Easy on black: only where it gains, and never alone"],
  ["no_white_in_darks", "No white in darks, below value 4"],
  ["no_stray_green", "No stray green: dull an orange with a brown, not a greenish blue"],
];

const FINISHES = {
  gloss: "gloss: oily paint, without its shine",
  satin: "satin",
  matt: "matt: sunk in, lighter and greyer darks",
};

/**
 * The panel of options.
 *
 * @param {State} state
 * @param {Studio} studio
 */
export function optionsPanel(state, studio) {
  const { options } = state;
  /** @param {On<Event, HTMLInputElement | HTMLSelectElement>} event @param {Fields} fields */
  const set = (event, fields) => asked(studio, event, "options", fields);
  return h("section", { key: "options", class: "panel options", "aria-labelledby": "options" },
    h("h2", { id: "options", tabindex: -1 }, "How you mix"),
    h("div", { class: "row" },
      number("At most", "tubes", "tubes", TUBES, options, set),
      number("and", "parts", "total", TOTALS, options, set)),
    options.insist.length > 0 && h("p", { key: "insist" }, `In every mix: ${options.insist.join(", ")}. `,
      h("button", { type: "button", onclick: () => studio.change("options", { insist: [] }) }, "Only where it serves")),
    state.plan && h("p", { key: "plan" }, "All slips are mixed by the ",
      h("a", { href: `#/${studio.id}/plan` }, "plan"), ", from its tubes alone."),
    h("fieldset", null,
      h("legend", null, "Habits"),
      HABITS.map(([key, words]) => h("label", { key },
        h("input", {
          type: "checkbox",
          checked: options[key],
          "data-now": options[key],
          onchange: (event) => set(event, { [key]: event.target.checked }),
        }), h("span", null, words)))),
    h("fieldset", null,
      h("legend", null, "The paint dries"),
      Object.entries(FINISHES).map(([key, words]) => h("label", { key },
        h("input", {
          type: "radio",
          name: "finish",
          checked: options.finish === key,
          "data-now": options.finish === key,
          onchange: (event) => set(event, { finish: key }),
        }), h("span", null, words)))),
    lampChoice({ hole: null, state, studio }));
}

/**
 * @param {string} before
 * @param {string} after
 * @param {"tubes" | "total"} key
 * @param {number[]} choices
 * @param {Options} options
 * @param {(event: On<Event, HTMLSelectElement>, fields: Fields) => void} set
 */
function number(before, after, key, choices, options, set) {
  const now = options[key];
  const all = choices.includes(now) ? choices : [...choices, now].sort((a, b) => a - b);
  return h("label", { key }, `${before} `,
    h("select", {
      value: String(now),
      "data-now": String(now),
      onchange: (event) => set(event, { [key]: Number(event.target.value) }),
    }, all.map((choice) => h("option", { key: choice, value: String(choice) }, choice))),
    ` ${after}`);
}
