/**
 * The photo seen in other ways, to study it: in few values, through a squint, as masses.
 */
import { h } from "../../core/dom.js";
import { painted } from "../../core/paint.js";

/** @typedef {{ colour: Colour, share: number }} Part */

const WAYS = [
  ["photo", "As it is"], ["values-2", "2 values"], ["values-3", "3 values"], ["values-5", "5 values"],
  ["values-7", "7 values"], ["squint", "Squint"], ["masses", "Masses"],
];

/**
 * Describe the panel; `light.study` is the way now, `values` of the study shown, or null.
 *
 * @param {State} state
 * @param {LightView} light
 * @param {StudyValue[] | null} values
 */
export function studyPanel(state, light, values) {
  return h("section", { key: "study", class: "panel study", "aria-labelledby": "light-study" },
    h("h2", { id: "light-study", class: "unseen" }, "Study the picture"),
    h("fieldset", { key: "ways", class: "study-ways" },
      h("legend", null, "See the picture"),
      h("div", { class: "row joined" }, WAYS.map(([key, word]) => h("label", { key, class: "study-way" },
        h("input", {
          type: "radio", name: "study", value: key, checked: light.study === key, onchange: () => light.see(key),
        }), h("span", null, word))))),
    h("div", { key: "told", class: "study-told", "aria-live": "polite" }, told(state, light, values)));
}

/** @param {State} state @param {LightView} light @param {StudyValue[] | null} values */
function told(state, light, values) {
  const { study } = light;
  if (study === "masses") return masses(state, light);
  if (study === "squint") return squinted(state.masses);
  if (study.startsWith("values-")) return values ? levels(values) : h("p", { key: "wait", class: "small" }, "Looking …");
  return h("p", { key: "photo", class: "small" },
    "Values first: if lights and darks are right, much else may be wrong. Two values part light from shadow.");
}

/** @param {StudyValue[]} values */
function levels(values) {
  return [
    bar(values),
    h("ul", { key: "levels", class: "shares" }, values.map((each, i) => row(String(i), each, each.words))),
  ];
}

/** @param {Mass[]} found */
function squinted(found) {
  const most = found.slice(0, 3);
  return [
    h("p", { key: "squint" }, "Through half-closed eyes only what carries the picture is left. The largest masses here:"),
    h("ul", { key: "most", class: "shares" }, most.map((each) => row(each.label, each, each.words))),
  ];
}

/** @param {State} state @param {LightView} light */
function masses({ masses: found }, light) {
  return [
    bar(found),
    h("button", { key: "punch", type: "button", onclick: () => light.punchMasses() }, "Punch a hole in each mass"),
    h("ul", { key: "masses", class: "shares" }, found.map((each) => row(each.label, each, each.words))),
  ];
}

/** @param {Part[]} parts */
function bar(parts) {
  return h("div", { key: "bar", class: "share-bar", "aria-hidden": true }, parts.map(({ colour, share }, i) => {
    const paint = painted(colour);
    return h("span", { key: String(i), ...paint, style: { ...paint.style, "flex-grow": String(share) } });
  }));
}

/** @param {string} key @param {Part} part @param {string} words */
function row(key, { colour, share }, words) {
  return h("li", { key }, h("i", { class: "share-chip", ...painted(colour) }),
    h("span", { class: "share-words" }, words), h("b", null, percent(share)));
}

/** @param {number} share */
function percent(share) {
  const parts = share * 100;
  return parts < 1 ? "under 1 %" : `${Math.round(parts)} %`;
}
