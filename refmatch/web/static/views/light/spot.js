/**
 * The spot that the light is read from, drawn on the photo: dragged, nudged and sized.
 *
 * Its ring stands just outside what is read, in black and white, with four arms, so that
 * it is not taken for a hole.
 */
import { h, make, morph } from "../../core/dom.js";
import { arrows, keys } from "../../core/keys.js";
import { isOnPhoto, onPhoto, toPhoto, toRoom, UNSEEN } from "../../parts/stage/sight.js";

/**
 * @typedef {object} Hearing
 * @property {(spot: Spot) => Promise<unknown>} moved
 * @property {(spot: Spot) => void} onPoint
 * @property {() => void} toPhoto
 */

const REST_MS = 350;
const STEP = 1.12;
const LEAST_PX = 5;
const TAG = 48;

/** The layer. `moved(spot)` hears where the hand has left it, `onPoint(spot)` every step. */
export class SpotLayer {
  #sight = UNSEEN;
  /** @type {Spot | null} */
  #spot = null;
  /** @type {Spot | null} */
  #draft = null;
  #word = "";
  #timer = 0;

  /** @param {Hearing} on */
  constructor(on) {
    this.on = on;
    this.element = make(h("div", { class: "light-spot" }));
    keys(this.element, this.#keyMap());
  }

  /**
   * Show a spot with the word for what it is taken for; null for none.
   *
   * @param {Spot | null} spot
   * @param {string} word
   */
  show(spot, word) {
    const settled = this.#draft && spot && same(this.#draft, spot);
    if (settled || !spot) this.#draft = null;
    this.#spot = spot;
    this.#word = word;
    this.#draw();
  }

  /** @param {Sight} sight */
  place(sight) {
    this.#sight = sight;
    this.#draw();
  }

  /** @param {Element} target @param {Point} start */
  grab(target, start) {
    if (!this.now || !target.closest("[data-spot]")) return null;
    const from = toRoom(this.#sight, this.now);
    /** @param {Point} point */
    const move = (point) => this.#to({ x: from.x + point.x - start.x, y: from.y + point.y - start.y });
    return { move, drop: () => this.#send(), cancel: () => this.#forget() };
  }

  /** @param {Element} target */
  waits(target) {
    return Boolean(target.closest("[data-spot]"));
  }

  /** The spot as the hand has it. */
  get now() {
    return this.#draft ?? this.#spot;
  }

  /**
   * Show a spot where it was clicked, and say so; it goes again where it is refused.
   *
   * @param {Spot} spot
   * @param {string} word
   */
  put(spot, word) {
    this.#word = word;
    this.#draft = spot;
    this.#draw();
    this.#send();
  }

  /**
   * Make the spot wider or narrower by a factor.
   *
   * @param {number} factor
   */
  size(factor) {
    if (!this.now) return;
    const { width_px, height_px } = this.#sight.frame;
    const most = Math.min(width_px, height_px) / 2;
    const wide = Math.min(most, Math.max(LEAST_PX, this.now.diameter_px * factor));
    this.#set({ ...this.now, diameter_px: Math.round(wide) });
    this.#sendSoon();
  }

  leave() {
    clearTimeout(this.#timer);
    if (this.#draft) this.on.moved(this.#draft);
  }

  #keyMap() {
    const larger = () => this.size(STEP);
    const smaller = () => this.size(1 / STEP);
    return {
      ...arrows((dx, dy, event) => this.#nudge(dx, dy, event.shiftKey)),
      "+": larger, "=": larger, "-": smaller,
      Escape: () => this.on.toPhoto(),
    };
  }

  /** @param {number} dx @param {number} dy @param {boolean} far */
  #nudge(dx, dy, far) {
    if (!this.now) return;
    const step = Math.max(1, Math.round(1 / this.#sight.scale)) * (far ? 10 : 1);
    const to = { x_px: this.now.x_px + dx * step, y_px: this.now.y_px + dy * step };
    this.#set({ ...this.now, ...onPhoto(this.#sight.frame, to) });
    this.#sendSoon();
  }

  /** @param {Point} point */
  #to(point) {
    if (this.now) this.#set({ ...this.now, ...onPhoto(this.#sight.frame, toPhoto(this.#sight, point)) });
  }

  /** @param {Spot} spot */
  #set(spot) {
    this.#draft = spot;
    this.on.onPoint(spot);
    this.#draw();
  }

  #sendSoon() {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.#send(), REST_MS);
  }

  #send() {
    clearTimeout(this.#timer);
    const draft = this.#draft;
    if (draft) this.on.moved(draft).then(() => this.#draft === draft && this.#forget());
  }

  #forget() {
    this.#draft = null;
    this.#draw();
  }

  #draw() {
    if (this.#sight === UNSEEN) return;
    const seen = this.now && isOnPhoto(this.#sight.frame, this.now);
    morph(this.element, seen && this.#button(this.now));
  }

  /** @param {Spot} spot */
  #button(spot) {
    const { x, y } = toRoom(this.#sight, spot);
    const ring = Math.max(6, spot.diameter_px * this.#sight.scale);
    const { width } = this.#sight.room;
    const aside = Math.max(0, TAG - x) - Math.max(0, x + TAG - width);
    return h("button", {
      key: "spot",
      type: "button",
      class: "spot",
      "data-spot": "",
      "aria-label": `The spot, ${this.#word}, ${Math.round(spot.diameter_px)} pixels wide. `
        + "Arrow keys move it, with Shift further; plus and minus size it; Escape goes back to the photo.",
      style: { transform: `translate(${x}px, ${y}px) translate(-50%, -50%)`, "--ring": `${ring}px`, "--aside": `${aside}px` },
    }, h("span", { class: "ring" }), h("span", { class: ["spot-word", y < ring + 40 && "below"], "aria-hidden": true }, this.#word));
  }
}

/** @param {Spot} a @param {Spot} b */
function same(a, b) {
  return a.x_px === b.x_px && a.y_px === b.y_px && a.diameter_px === b.diameter_px;
}
