/**
 * A crosshair moved by the arrow keys, so that whoever has no pointer can point.
 *
 * The surface of the photo takes the focus; arrows move the crosshair, Enter takes the
 * spot under it, + and - zoom about it, 0 shows the whole photo.
 */
import { h, make } from "../../core/dom.js";
import { arrows, keys } from "../../core/keys.js";
import { onPhoto, showing, toRoom, UNSEEN } from "./sight.js";

/**
 * @typedef {object} Hearing
 * @property {(spot: Place) => void} onPoint
 * @property {(spot: Place) => void} [onSpot]
 * @property {(sight: Sight) => void} see
 * @property {(factor: number, point: Point) => void} zoom
 * @property {() => void} fit
 */

const STEP = 6;
const FAR = 10;
const ARMS = "M-32,0H-10M10,0H32M0,-32V-10M0,10V32";

/**
 * The crosshair's layer. `surface` takes the focus; `onPoint(spot)` hears every move,
 * `onSpot(spot)` Enter; `see(sight)` brings another part into view; `zoom(factor, point)`
 * and `fit()` do what they say.
 */
export class Crosshair {
  #sight = UNSEEN;
  /** @type {Place | null} */
  #spot = null;

  /** @param {HTMLElement} surface @param {Hearing} on */
  constructor(surface, on) {
    this.on = on;
    this.element = make(h("div", { class: "crosshair", hidden: true, "aria-hidden": true },
      h("svg", { viewBox: "-34 -34 68 68" }, h("path", { d: ARMS }), h("path", { d: ARMS }))));
    surface.addEventListener("focus", () => surface.matches(":focus-visible") && this.#show());
    surface.addEventListener("blur", () => this.hide());
    keys(surface, this.#keyMap());
  }

  /** @param {Sight} sight */
  place(sight) {
    this.#sight = sight;
    if (!this.#spot) return;
    const { x, y } = toRoom(sight, this.#spot);
    this.element.style.setProperty("transform", `translate(${x}px, ${y}px)`);
  }

  hide() {
    this.element.hidden = true;
  }

  #keyMap() {
    /** @param {number} factor */
    const zoom = (factor) => () => this.on.zoom(factor, this.#point());
    const take = () => this.#show() && this.#spot && this.on.onSpot?.(this.#spot);
    return {
      ...arrows((dx, dy, event) => this.#move(dx, dy, event.shiftKey)),
      Enter: take, " ": take,
      "+": zoom(1.4), "=": zoom(1.4), "-": zoom(1 / 1.4), 0: () => this.on.fit(),
    };
  }

  /** @param {number} dx @param {number} dy @param {boolean} far */
  #move(dx, dy, far) {
    if (this.element.hidden || !this.#spot) return this.#show();
    const step = Math.max(1, (STEP * (far ? FAR : 1)) / this.#sight.scale);
    const to = { x_px: this.#spot.x_px + dx * step, y_px: this.#spot.y_px + dy * step };
    this.#spot = onPhoto(this.#sight.frame, to);
    this.on.see(showing(this.#sight, this.#spot));
    return this.on.onPoint(this.#spot);
  }

  /** Show it where it was last, else in the middle; says whether it was there already. */
  #show() {
    const was = !this.element.hidden;
    const { width_px, height_px } = this.#sight.frame;
    this.#spot = onPhoto(this.#sight.frame, this.#spot ?? { x_px: width_px / 2, y_px: height_px / 2 });
    this.element.hidden = false;
    this.place(this.#sight);
    this.on.onPoint(this.#spot);
    return was;
  }

  #point() {
    const { width, height } = this.#sight.room;
    return this.#spot ? toRoom(this.#sight, this.#spot) : { x: width / 2, y: height / 2 };
  }
}
