/**
 * The light as it was asked for, what a change of it must say, and how it is told in words.
 *
 * A change of the light states the whole of it, so each goes out from what is asked now.
 */

/** @typedef {keyof typeof KINDS} Kind */

/** What a spot may be taken for, by the word the page has for it. */
export const KINDS = {
  thing: { word: "neutral thing", label: "Something neutral: stone, paper, cloth", method: "neutral" },
  card: { word: "grey card", label: "A grey card", method: "neutral" },
  grey: { word: "grey thing", label: "Something grey of known lightness", method: "neutral" },
  white: { word: "white thing", label: "Something white", method: "white" },
};

/** L* of an 18 % grey card (common practice: 116 * 0.18 ** (1 / 3) - 16). */
export const GREY_CARD_LSTAR = 49.5;

/** In per cent: half way between as shot, which tints every mix, and neutral, which is a dead picture. */
const KEPT_AT_FIRST = 50;

/** @type {Record<string, string>} */
const METHODS = {
  temperature: "as you stated it",
  "grey-world": "this is a guess from the average of the picture",
  "grey-edge": "this is a guess from the edges between things",
};

/**
 * Return the fields of the change "light": what is asked now, but for `changes`.
 *
 * @param {State} state
 * @param {Partial<AskedLight>} changes
 */
export function lightWith(state, changes) {
  const first = isAsShot(state) && !state.light.asked.keep_light_percent ? { keep_light_percent: KEPT_AT_FIRST } : {};
  const all = Object.entries({ ...state.light.asked, ...first, ...changes });
  return Object.fromEntries(all.filter(([, value]) => value !== null));
}

/**
 * Return the kind of spot the light goes by now, or null when it goes by none.
 *
 * How light a neutral thing is nobody knows but the painter: only a card, a stated grey and a
 * white set the exposure.
 *
 * @param {Light} light
 */
export function kindOf({ asked }) {
  if (asked.method === "white") return "white";
  if (asked.method !== "neutral") return null;
  if (!asked.set_exposure) return "thing";
  return asked.lstar === null || asked.lstar === GREY_CARD_LSTAR ? "card" : "grey";
}

/**
 * Return the spot that the light goes by now, or null.
 *
 * @param {Light} light
 */
export function spotOf(light) {
  if (!kindOf(light)) return null;
  const { x_px, y_px, diameter_px } = light.asked;
  return x_px === null || y_px === null || diameter_px === null ? null : { x_px, y_px, diameter_px };
}

/**
 * Say whether the spot lies outside the part of the photo that is painted.
 *
 * @param {State} state
 */
function isCroppedAway({ light, photo }) {
  const spot = spotOf(light);
  if (!spot) return false;
  return spot.x_px < 0 || spot.y_px < 0 || spot.x_px > photo.width_px || spot.y_px > photo.height_px;
}

/**
 * Say whether nothing is taken out of the photo.
 *
 * @param {State} state
 */
export function isAsShot({ light }) {
  return light.method === "as-shot";
}

/**
 * Say whether the light was found elsewhere and is kept as it was found.
 *
 * @param {State} state
 */
export function isSaved({ light }) {
  return light.asked.method === "saved";
}

/**
 * Say how the light was found: "by the grey card".
 *
 * @param {State} state
 */
export function foundBy(state) {
  const { light } = state;
  const kind = kindOf(light);
  if (kind) return `read from the ${KINDS[kind].word}${isCroppedAway(state) ? ", which is cropped away" : ""}`;
  return isSaved(state) ? "as the painting was saved" : METHODS[light.method] ?? "";
}

/**
 * Return the cast alone, without what is kept of it: "warm, about 3900 K".
 *
 * @param {Cast} cast
 */
export function castWords({ words }) {
  return words.split(";")[0];
}

/**
 * How much of the light is gone, by the most that is kept of it, in per cent.
 *
 * @type {[most: number, words: string][]}
 */
const TAKEN = [[0, "taken out"], [40, "mostly taken out"], [60, "half taken out"], [99, "mostly kept"], [100, "all kept"]];

/**
 * Say what happened in a few words: "warm light, mostly taken out".
 *
 * @param {Light} light
 */
export function happened(light) {
  const colour = castWords(light).replace(/, (about|above|below) .*/, "");
  if (colour.startsWith("no cast")) return "neutral light, nothing to take out";
  return `${colour} light, ${TAKEN.find(([most]) => light.keep_light_percent <= most)?.[1]}`;
}

/**
 * Return one sentence for the result: "The photo has warm light, mostly taken out."
 *
 * @param {State} state
 */
export function resultSentence(state) {
  const { light } = state;
  if (isAsShot(state)) return "The photo is as shot; nothing is taken out.";
  return `The photo has ${happened(light)}.`;
}

/**
 * Return Duv with its sign: "−0.003".
 *
 * @param {number} duv
 */
export function duvFigure(duv) {
  return `${duv < 0 ? "−" : "+"}${Math.abs(duv).toFixed(3)}`;
}

/**
 * Return how far a photo is lightened or darkened: "darkened by 0.4 stops", "" for not at all.
 *
 * @param {number} stops
 */
export function exposureWords(stops) {
  const size = Math.abs(stops).toFixed(1);
  if (size === "0.0") return "";
  return `${stops > 0 ? "lightened" : "darkened"} by ${size} stop${size === "1.0" ? "" : "s"}`;
}
