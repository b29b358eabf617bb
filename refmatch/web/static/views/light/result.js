/**
 * The result, first and large: what colour the light had, and what was done about it.
 */
import { h } from "../../core/dom.js";
import { figures } from "../../core/fold.js";
import { castWords, duvFigure, exposureWords, foundBy, happened, isAsShot } from "./asked.js";

const SURE = 0.75;

/**
 * Describe the panel that says what the light was.
 *
 * @param {State} state
 * @param {Guess[] | null} guesses
 */
export function resultPanel(state, guesses) {
  const { light } = state;
  return h("section", { key: "result", class: "panel result", "aria-labelledby": "light-result" },
    h("h2", { id: "light-result", class: "small" }, state.shown ? `The light of “${state.shown}”` : "The light of this photo"),
    h("p", { key: "cast", class: "cast" }, isAsShot(state) ? "As shot" : capital(happened(light))),
    h("p", { key: "done" }, done(state)),
    isAsShot(state) && suspected(guesses),
    measured(light),
    cautions(light.flags));
}

/** @param {State} state */
function done(state) {
  const { light, photo } = state;
  const grey = photo.flags.find(({ name }) => name === "greyscale");
  if (isAsShot(state)) {
    return grey?.text ?? "Nothing is taken out yet. If the camera did not meet the light, its colour is in every mix.";
  }
  const exposure = exposureWords(light.exposure_stops);
  return `${capital(foundBy(state))}.${exposure ? ` The photo is ${exposure}.` : ""}`;
}

/**
 * What a sure guess says of a photo left as shot: a reason to look for a spot.
 *
 * @param {Guess[] | null} guesses
 */
function suspected(guesses) {
  const sure = guesses?.find(({ confidence, words }) => confidence >= SURE && !words.startsWith("no cast"));
  return sure && h("p", { key: "suspected", class: "small" },
    `By its average the light was ${sure.words}: only a guess. Click something neutral to know.`);
}

/** @param {Light} light */
function measured({ words, keep_light_percent: kept, cast_kelvin, cast_duv, confidence }) {
  if (cast_kelvin === null || cast_duv === null) return null;
  /** @param {string} term @param {string} said */
  const fact = (term, said) => h("div", { key: term }, h("dt", null, term), h("dd", null, said));
  return figures(h("dl", { class: "facts" },
    fact("Temperature", castWords({ words, cast_kelvin, cast_duv, exposure_stops: 0 })),
    fact("Kept of it", `${Math.round(kept)} %`),
    fact("Tint, Duv (+ green, − pink)", duvFigure(cast_duv)),
    confidence !== null && fact("Confidence", confidence.toFixed(2))));
}

/**
 * Describe warnings, each with its sign; what is clipped is told beside the photo.
 *
 * @param {Flag[]} flags
 */
export function cautions(flags) {
  const told = flags.filter(({ name }) => name !== "clipped");
  return told.length > 0 && h("ul", { key: "cautions", class: "cautions" }, told.map(({ name, text }) =>
    h("li", { key: name }, h("span", { class: "sign", "aria-hidden": true }, "!"), h("span", null, text))));
}

/** @param {string} words */
function capital(words) {
  return words && words[0].toUpperCase() + words.slice(1);
}
