/**
 * Where nothing neutral is in the picture: the automatic estimates, plainly called guesses,
 * the photo as shot, and a temperature for whoever knows the lamp.
 */
import { h } from "../../core/dom.js";
import { figures } from "../../core/fold.js";
import { duvFigure } from "./asked.js";
import { cautions } from "./result.js";

/**
 * @typedef {object} Choice
 * @property {string} method
 * @property {string} name
 * @property {boolean} chosen
 * @property {LightView} light
 * @property {() => void} act
 * @property {Child} words
 */

/** On a phone the guesses are folded away, so that the light is one screen or two. */
const narrow = matchMedia("(max-width: 34rem)");

/** @type {Record<string, [name: string, how: string]>} */
const NAMES = {
  "grey-world": ["From the average", "Takes the picture’s average for grey."],
  "grey-edge": ["From the edges", "Takes the differences between neighbouring things for grey, on average."],
};
/**
 * From what confidence on a guess is called so.
 *
 * @type {[least: number, word: string][]}
 */
const SURE = [[0.75, "fairly sure"], [0.5, "unsure"], [0, "quite unsure"]];

/**
 * Describe the panel; `guesses` is null until the server has told. `light` is the view.
 *
 * @param {State} state
 * @param {LightView} light
 * @param {Guess[] | null} guesses
 */
export function guessPanel(state, light, guesses) {
  return h("section", { key: "guesses", class: "panel", "aria-labelledby": "light-guesses" }, h("details", {
    class: "guesses", open: !narrow.matches,
  },
    h("summary", null, h("h2", { id: "light-guesses" }, "Nothing neutral in it? Guess")),
    h("p", { key: "said", class: "small" },
      "A guess takes the things’ own colours for the light’s: orange light on white linen and white light on orange linen "
      + "look alike to it. On ordinary photos it leaves colours plainly off, on a lawn or at sunset more so. "
      + "A measured spot is better."),
    figures(h("p", { class: "small" }, "By the sample photos a guess leaves colours 3 to 8 ΔE00 off.")),
    h("ul", { key: "list", class: "guess-list" },
      guesses === null && h("li", { key: "wait", class: "small" }, "Looking …"),
      guesses?.map((guess) => guessed(guess, state, light)),
      guesses?.length === 0 && h("li", { key: "none", class: "small" }, "This photo gives nothing to guess from."),
      asShot(state, light)),
    temperature(state, light)));
}

/** @param {Guess} guess @param {State} state @param {LightView} light */
function guessed(guess, state, light) {
  const [name, how] = NAMES[guess.method];
  return choice({
    method: guess.method, name, chosen: state.light.method === guess.method, light,
    act: () => light.change({ method: guess.method }),
    words: [
      h("p", { key: "cast" }, h("b", null, guess.words)),
      h("p", { key: "sure", class: "small" }, `${how} Here it is ${sureness(guess.confidence)}.`),
      figures(h("p", { class: "small" }, `Confidence ${guess.confidence.toFixed(2)}, Duv ${duvFigure(guess.cast_duv)}`)),
      cautions(guess.flags),
    ],
  });
}

/** @param {State} state @param {LightView} light */
function asShot(state, light) {
  return choice({
    method: "as-shot", name: "As shot", chosen: state.light.method === "as-shot", light,
    act: () => light.change({ method: "as-shot" }),
    words: [h("p", { key: "words", class: "small" }, "Nothing taken out: what the camera made of it.")],
  });
}

/** @param {Choice} choice */
function choice({ method, name, chosen, light, act, words }) {
  return h("li", { key: method, class: "guess" },
    h("img", { src: light.studies.guesses && light.pictureOf(method), alt: "", onerror: () => light.renewPictures() }),
    h("div", { class: "guess-words" },
      h("h3", null, name),
      words,
      h("button", {
        type: "button", "aria-pressed": chosen, onclick: () => chosen || act(),
        "aria-label": `${chosen ? "Taken" : "Take this"}: ${name}`,
      }, chosen ? "Taken" : "Take this")));
}

/** @param {number} confidence */
function sureness(confidence) {
  return SURE.find(([least]) => confidence >= least)?.[1];
}

/** @param {State} state @param {LightView} light */
function temperature(state, light) {
  const { asked } = state.light;
  /** @param {On<SubmitEvent, HTMLFormElement>} event */
  const take = (event) => {
    event.preventDefault();
    const given = new FormData(event.target);
    light.change({ method: "temperature", kelvin: Number(given.get("kelvin")), duv: Number(given.get("duv") || 0) });
  };
  /**
   * @param {string} name
   * @param {string} word
   * @param {string} unit
   * @param {Props} limits
   * @param {number | string} value
   */
  const field = (name, word, unit, limits, value) => h("label", { key: name }, word,
    h("input", { name, type: "number", step: "any", ...limits, value }), unit);
  return h("form", { key: "temperature", class: "temperature", novalidate: true, onsubmit: take },
    h("h3", null, "I know the lamp"),
    h("div", { class: "row" },
      field("kelvin", "Temperature", "K", { inputmode: "numeric" }, asked.kelvin ?? ""),
      field("duv", "Tint (Duv)", "+ green, − pink", { inputmode: "decimal" }, asked.duv ?? ""),
      h("button", { "aria-pressed": state.light.method === "temperature" }, "Take it out")),
    h("p", { class: "small" },
      "Meant as a camera set to daylight of 5000 K saw it: candles about 1900 K, filament lamps 2700 K, open shade 7500 K. "
      + "A camera that met the lamp itself has taken some of it out already."));
}
