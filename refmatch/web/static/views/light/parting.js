/**
 * Before and after at once: the photo as shot left of a line, balanced right of it.
 *
 * One picture parted by a line judges better than two beside each other: the same thing is
 * seen on both sides, at one size, and the eye need not travel. The line is dragged on the
 * photo, or moved by the range under it.
 */
import { h, make } from "../../core/dom.js";
import { Picture } from "../../parts/stage/picture.js";
import { UNSEEN } from "../../parts/stage/sight.js";

/** @typedef {{ left: number, right: number, room: Size }} PhotoExtent */

/** The layer. `moved(percent)` hears the line being dragged; `extent({left, right})` the photo's. */
export class Parting {
  #sight = UNSEEN;
  #percent = 50;
  #on = false;

  /**
   * @param {Studio} studio
   * @param {{ moved: (percent: number) => void, extent: (extent: PhotoExtent) => void }} on
   */
  constructor(studio, on) {
    this.studio = studio;
    this.on = on;
    this.before = make(h("div", { class: "before" }));
    this.line = make(h("div", { class: "line", "data-parting": "" }));
    this.tags = make(h("div", { class: "tags" },
      h("span", { class: "tag left" }, "as shot"), h("span", { class: "tag right" }, "balanced")));
    this.element = make(h("div", { class: "parting", "aria-hidden": true, hidden: true }));
    this.element.append(this.before, this.line, this.tags);
    this.picture = new Picture(this.before);
  }

  /**
   * Show it or not, with the line at so many per cent, and `over` laid over as on the other half.
   *
   * @param {{ on: boolean, percent: number, over: string | null }} how
   */
  show({ on, percent, over }) {
    this.#on = on;
    this.#percent = percent;
    this.element.hidden = !on;
    const { look } = this.studio.state.photo;
    if (on) this.picture.show({ url: (path) => this.studio.url(path), look, kind: "as-shot", over });
    this.#draw();
  }

  /** @param {Sight} sight */
  place(sight) {
    this.#sight = sight;
    this.picture.place(sight);
    this.on.extent(extentOf(sight));
    this.#draw();
  }

  /** @param {Element} target */
  grab(target) {
    if (!target.closest("[data-parting]")) return null;
    const before = this.#percent;
    return { move: (/** @type {Point} */ point) => this.#to(point.x), drop() {}, cancel: () => this.on.moved(before) };
  }

  leave() {
    this.picture.leave();
  }

  /** @param {number} x */
  #to(x) {
    const { left, right } = extentOf(this.#sight);
    this.on.moved(Math.min(100, Math.max(0, (100 * (x - left)) / (right - left))));
  }

  #draw() {
    if (this.#sight === UNSEEN || !this.#on) return;
    const { left, right } = extentOf(this.#sight);
    const x = left + ((right - left) * this.#percent) / 100;
    this.element.style.setProperty("--line", `${x}px`);
    this.element.style.setProperty("--rest", `${this.#sight.room.width - x}px`);
  }
}

/**
 * Where the photo begins and ends in its room, in CSS pixels.
 *
 * @param {Sight} sight
 */
function extentOf({ frame, scale, left, room }) {
  return { left: Math.max(0, left), right: Math.min(room.width, left + frame.width_px * scale), room };
}
