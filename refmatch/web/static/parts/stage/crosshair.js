/**
 * A crosshair moved by the arrow keys, so that whoever has no pointer can point.
 *
 * The surface of the photo takes the focus; arrows move the crosshair, Enter takes the
 * spot under it, + and - zoom about it, 0 shows the whole photo.
 */
import { h, make } from "../../core/dom.js";
import { arrows, keys } from "../../core/keys.js";
import { onPhoto, showing, toRoom } from "./sight.js";

const STEP = 6;
const FAR = 10;
const ARMS = "M-32,0H-10M10,0H32M0,-32V-10M0,10V32";

/**
 * The crosshair's layer. `surface` takes the focus; `onPoint(spot)` hears every move,
 * `onSpot(spot)` Enter; `see(sight)` brings another part into view; `zoom(factor, point)`
 * and `fit()` do what they say.
 */
export class Crosshair {
  #sight = null;
  #spot = null;

  constructor(surface, on) {
    Object.assign(this, { on });
    this.element = make(h("div", { class: "crosshair", hidden: true, "aria-hidden": true },
      h("svg", { viewBox: "-34 -34 68 68" }, h("path", { d: ARMS }), h("path", { d: ARMS }))));
    surface.addEventListener("focus", () => surface.matches(":focus-visible") && this.#show());
    surface.addEventListener("blur", () => this.hide());
    keys(surface, this.#keyMap());
  }

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
    const zoom = (factor) => () => this.on.zoom(factor, this.#point());
    const take = () => this.#show() && this.on.onSpot?.(this.#spot);
    return {
      ...arrows((dx, dy, event) => this.#move(dx, dy, event.shiftKey)),
      Enter: take, " ": take,
      "+": zoom(1.4), "=": zoom(1.4), "-": zoom(1 / 1.4), 0: () => this.on.fit(),
    };
  }

  #move(dx, dy, far) {
    if (this.element.hidden) return this.#show();
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
