/**
 * The colour under the pointer, alone on neutral, and the best recipe once it rests.
 *
 * Simultaneous contrast makes the eye misjudge a colour among others; here it stands by
 * itself on middle grey. It follows the pointer thirty times a second and more.
 */
import { h, make, morph } from "../../core/dom.js";
import { newest } from "../../core/newest.js";
import { painted, paintOn, screenMark } from "../../core/paint.js";
import { say } from "../../core/say.js";
import { styles } from "../../core/styles.js";
import { Loupe } from "../loupe/loupe.js";

await styles(import.meta.url, "reading.css");

/** @typedef {{ spot: Spot, recipe?: boolean, byKey?: boolean }} Asked */

const REST_MS = 200;
const MOST = 40;

/** The reading panel in `root`; `point(spot, {byKey})` moves it, `leave()` ends it. */
export class Reading {
  #rest = 0;
  /** @type {Spot | null} */
  #now = null;

  /** @param {HTMLElement} root @param {Studio} studio */
  constructor(root, studio) {
    this.studio = studio;
    const loupeRoom = make(h("div", { class: "loupe-room" }));
    this.isolated = make(h("div", { class: "isolated empty" }));
    this.words = make(h("div", { class: "reading-words" },
      h("p", { class: "small" },
        h("span", { class: "by-mouse" }, "Move over the photo: the colour under the pointer stands here alone."),
        h("span", { class: "by-touch" }, "Rest a finger on the photo: the colour under it stands here alone."))));
    this.swatch = make(h("span", { class: "target" }));
    this.mix = make(h("span", { class: "mix", hidden: true }));
    this.isolated.append(this.swatch, this.mix);
    this.panel = make(h("section", { class: "reading", "aria-label": "Under the pointer" }));
    this.panel.append(loupeRoom, this.isolated, this.words);
    root.append(this.panel);
    this.loupe = new Loupe(loupeRoom, studio);
    /** @param {ReadColour} answer @param {Asked} what */
    const show = (answer, what) => this.#show(answer, what);
    this.ask = newest((what) => studio.ask(query(what)), show, MOST);
  }

  /**
   * Read at a spot `{x_px, y_px, diameter_px}`; null when nothing is pointed at.
   *
   * @param {Spot | null} spot
   * @param {How} [how]
   */
  point(spot, { byKey = false } = {}) {
    clearTimeout(this.#rest);
    this.#now = spot;
    if (!spot) return this.ask.stop();
    this.loupe.look(spot);
    this.ask({ spot });
    this.#rest = setTimeout(() => this.ask({ spot, recipe: true, byKey }), REST_MS);
    return undefined;
  }

  leave() {
    clearTimeout(this.#rest);
    this.ask.stop();
    this.loupe.leave();
    this.panel.remove();
  }

  /** @param {ReadColour} answer @param {Asked} asked */
  #show(answer, { spot, byKey }) {
    this.isolated.classList.remove("empty");
    paintOn(this.swatch, answer.colour);
    const { recipe } = answer;
    this.mix.hidden = !recipe;
    if (recipe) paintOn(this.mix, recipe.colour);
    morph(this.words, words(answer));
    if (byKey && recipe && spot === this.#now) say(`${answer.words}. ${recipe.words}`);
  }
}

/** @param {Asked} asked */
function query({ spot, recipe }) {
  const { x_px, y_px, diameter_px } = spot;
  const asked = new URLSearchParams({ x: String(x_px), y: String(y_px), diameter: String(diameter_px) });
  if (recipe) asked.set("recipe", "1");
  return `reading?${asked}`;
}

/** @param {ReadColour} answer */
function words({ munsell_value, words: said, colour, recipe, in_gamut }) {
  return [
    h("p", { key: "said", class: "said" },
      h("span", { class: "figure" }, munsell_value.toFixed(1)), h("span", null, said)),
    recipe && h("ul", { key: "recipe", class: "mini-recipe" }, recipe.lines.map((line) =>
      h("li", { key: line.words },
        h("b", null, line.parts), h("i", { class: "chip", ...painted(line.colour) }), line.words))),
    recipe && h("p", { key: "off", class: "small" },
      in_gamut === false ? h("span", { class: "beyond" }, "Out of reach of these tubes: the nearest.") : `${recipe.verdict}, to be expected`),
    screenMark(colour),
  ];
}
