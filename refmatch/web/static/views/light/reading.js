/**
 * What a place of the photo looks like as shot, and the light it would show if it were grey.
 *
 * It follows the pointer, so that a painter sees what a click will do before clicking;
 * when nothing is pointed at it tells of the spot that was taken.
 */
import { h, morph } from "../../core/dom.js";
import { figures } from "../../core/fold.js";
import { newest } from "../../core/newest.js";
import { painted, screenMark } from "../../core/paint.js";
import { say } from "../../core/say.js";
import { duvFigure, exposureWords } from "./asked.js";

/** @typedef {{ spot: Spot, kind: string, lstar: number | null, exposed: boolean, passing?: boolean, aloud?: boolean }} AskedSpot */
/** @typedef {{ passing: boolean, exposed: boolean, kind: string }} Telling */

const REST_MS = 600;

/** C* from which a thing is plainly coloured as the photo has it: a moderate colour, in words. */
const COLOURED = 18;

/** The reading in `root`. `askedOf()` tells what a spot is taken for: `{kind, lstar, exposed}`. */
export class SpotReading {
  #taken = null;
  /** @type {string | null} */
  #takenKey = "";
  #rest = 0;

  /**
   * @param {HTMLElement} root
   * @param {Studio} studio
   * @param {() => { kind: string, lstar: number | null, exposed: boolean }} askedOf
   */
  constructor(root, studio, askedOf) {
    this.root = root;
    this.studio = studio;
    this.askedOf = askedOf;
    /** @param {ReadSpot} answer @param {AskedSpot} what */
    const show = (answer, what) => this.#show(answer, what);
    this.ask = newest((what) => studio.ask(query(what)), show);
    this.#draw(null);
  }

  /**
   * Read where the pointer is; null when nothing is pointed at.
   *
   * @param {Spot | null} spot
   * @param {How} [how]
   */
  point(spot, { byKey = false } = {}) {
    clearTimeout(this.#rest);
    if (!spot) {
      this.ask.stop();
      return this.#draw(this.#taken);
    }
    const what = { spot, ...this.askedOf(), passing: true };
    this.ask(what);
    if (byKey) this.#rest = setTimeout(() => this.ask({ ...what, aloud: true }), REST_MS);
    return undefined;
  }

  /**
   * Tell of the spot that was taken, or of none.
   *
   * @param {Spot | null} spot
   */
  async taken(spot) {
    const what = spot && { spot, ...this.askedOf() };
    const key = what ? query(what) : "";
    if (key === this.#takenKey) return;
    this.#takenKey = key;
    clearTimeout(this.#rest);
    this.ask.stop();
    const answer = what && (await this.studio.ask(query(what)).catch(() => null));
    if (key !== this.#takenKey) return;
    this.#taken = answer;
    this.#draw(answer);
  }

  leave() {
    clearTimeout(this.#rest);
    this.ask.stop();
    this.#takenKey = null;
  }

  /** @param {ReadSpot} answer @param {AskedSpot} askedSpot */
  #show(answer, { aloud }) {
    this.#draw(answer, true);
    if (aloud) say(`As shot ${answer.words}. ${answer.refused ?? `It would say: ${answer.light?.words}.`}`);
  }

  /** @param {ReadSpot | null} answer */
  #draw(answer, passing = false) {
    const { exposed, kind } = this.askedOf();
    morph(this.root, answer ? reading(answer, { passing, exposed, kind }) : empty());
  }
}

/** @param {AskedSpot} askedSpot */
function query({ spot, kind, lstar }) {
  const { x_px, y_px, diameter_px } = spot;
  const asked = new URLSearchParams({
    x: x_px.toFixed(1), y: y_px.toFixed(1), diameter: diameter_px.toFixed(1), kind,
  });
  if (lstar) asked.set("lstar", String(lstar));
  return `spot?${asked}`;
}

/** @param {ReadSpot} answer @param {Telling} how */
function reading(answer, how) {
  const [lightness, a, b] = answer.colour.lab;
  return [
    h("div", { key: "alone", class: "alone" }, h("span", painted(answer.colour))),
    h("div", { key: "words", class: "alone-words" },
      h("p", { key: "where", class: "small" }, how.passing ? "Under the pointer, as shot" : "The spot, as shot"),
      h("p", { key: "said" }, answer.words),
      screenMark(answer.colour),
      answer.light ? says(answer.light, how) : warning(answer.refused ?? ""),
      answer.light && how.kind === "thing" && Math.hypot(a, b) > COLOURED
        && warning("Plainly coloured: is it truly grey or white, under a lamp or a low sun? If not, the whole photo turns."),
      answer.light && how.passing && answer.flags.filter(({ name }) => name !== "clipped").slice(0, 2)
        .map(({ name, text }) => h("div", { key: name }, warning(text))),
      figures(h("p", { class: "small" }, `L* ${lightness.toFixed(1)}  a* ${signed(a)}  b* ${signed(b)}`,
        answer.light && `, Duv ${duvFigure(answer.light.cast_duv)}`))),
  ];
}

/** @param {KnownCast} cast @param {Telling} telling */
function says({ words, exposure_stops }, { passing, exposed }) {
  const exposure = exposed && exposureWords(exposure_stops);
  return h("p", { key: "says" }, opening(words, passing),
    h("b", null, words), exposure && h("span", { class: "small" }, `; by its lightness the photo is ${exposure}`));
}

/** @param {string} words @param {boolean} passing */
function opening(words, passing) {
  const being = words.startsWith("no cast") ? "there is" : "the light is";
  return passing ? `It would say ${being} ` : `So ${being} `;
}

/** @param {string} text */
function warning(text) {
  return h("p", { key: "warning", class: "small" }, h("span", { class: "sign", "aria-hidden": true }, "!"), ` ${text}`);
}

function empty() {
  return [
    h("div", { key: "alone", class: "alone" }),
    h("div", { key: "words", class: "alone-words" }, h("p", { class: "small" },
      "Point at the photo, or rest a finger on it and aim: what lies there stands here alone, and what it would say of the light.")),
  ];
}

/** @param {number} number */
function signed(number) {
  const size = Math.abs(number).toFixed(1);
  return size === "0.0" ? "0.0" : `${number < 0 ? "−" : "+"}${size}`;
}
