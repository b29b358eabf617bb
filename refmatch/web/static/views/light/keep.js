/**
 * How much of the light stays in the picture, and whether the spot sets the exposure.
 *
 * The slider tries: while it moves only the picture follows; what is saved is one step,
 * where the hand rests.
 */
import { h } from "../../core/dom.js";
import { exposureWords, isAsShot, isSaved, kindOf } from "./asked.js";

/** @type {Record<number, string>} */
const WORDS = {
  0: "all of it gone", 5: "a trace kept", 10: "a tenth kept", 15: "a little kept", 20: "a fifth kept",
  25: "a quarter kept", 30: "nearly a third kept", 35: "a good third kept", 40: "two fifths kept", 45: "nearly half kept",
  50: "half kept", 55: "over half kept", 60: "three fifths kept", 65: "nearly two thirds kept", 70: "over two thirds kept",
  75: "three quarters kept", 80: "four fifths kept", 85: "most of it kept", 90: "nearly all kept", 95: "nearly all kept",
  100: "as shot",
};

/**
 * Say a part of the light in words: "a fifth kept".
 *
 * @param {number} percent
 * @param {State} state
 */
function keptWords(percent, { light }) {
  const lit = percent === 100 && exposureWords(light.exposure_stops);
  return `${WORDS[percent] ?? `${percent} % kept`}${lit ? `, but ${lit}` : ""}`;
}

/**
 * Describe the panel; `light` is the view, with `kept` as the hand has it.
 *
 * @param {State} state
 * @param {LightView} light
 */
export function keepPanel(state, light) {
  const cannot = whyNot(state);
  const percent = light.kept;
  return h("section", { key: "keep", class: "panel keep", "aria-labelledby": "light-keep" },
    h("h2", { id: "light-keep" }, "How much of it to keep"),
    h("p", { key: "now", class: "row kept-now" },
      h("b", null, isAsShot(state) ? "all of it is there" : keptWords(percent, state)), !cannot && h("span", null, `${percent} %`)),
    h("input", {
      key: "slider", type: "range", class: "wide", min: 0, max: 100, step: 5, value: percent, disabled: Boolean(cannot),
      "aria-label": "Part of the light to keep",
      "aria-valuetext": `${percent} %, ${keptWords(percent, state)}`,
      oninput: (event) => light.tryKeeping(Number(event.target.value)),
      onchange: (event) => light.tryKeeping(Number(event.target.value)),
      onpointerup: () => light.saveKept(),
    }),
    h("div", { key: "ends", class: "ends", "aria-hidden": true }, h("span", null, "gone"), h("span", null, "all kept")),
    h("p", { key: "why", class: "small" }, cannot ?? "With half of it kept the light stays in the picture, and the colours still part."),
    spotSetsIt(light.kind, state) && exposure(state, light));
}

/** @param {State} state */
function whyNot(state) {
  if (isAsShot(state)) return "Nothing is taken out yet.";
  if (isSaved(state)) return "This light was found elsewhere and is kept as it was saved; click a spot to find it anew.";
  return null;
}

/**
 * Whether there is a spot whose lightness is known.
 *
 * @param {LightView["kind"]} kind @param {State} state
 */
function spotSetsIt(kind, { light }) {
  return kindOf(light) !== null && kind !== "thing";
}

/** @param {State} state @param {LightView} light */
function exposure(state, light) {
  const { set_exposure: set } = state.light.asked;
  /** @param {boolean} value @param {string} words */
  const one = (value, words) => h("label", { key: words },
    h("input", {
      type: "radio", name: "exposure", checked: set === value,
      onchange: () => light.change({ set_exposure: value }),
    }), words);
  return h("fieldset", { key: "exposure", class: "plain-set" },
    h("legend", null, "Exposure"),
    one(true, "Set by the spot’s lightness"),
    one(false, "As the photo has it"));
}
