/**
 * Before and after at once: the photo as shot left of a line, balanced right of it.
 *
 * One picture parted by a line judges better than two beside each other: the same thing is
 * seen on both sides, at one size, and the eye need not travel. The line is dragged on the
 * photo, or moved by the range under it.
 */
import { h, make } from "../../core/dom.js";
import { Picture } from "../../parts/stage/picture.js";

/** The layer. `moved(percent)` hears the line being dragged; `extent({left, right})` the photo's. */
export class Parting {
  #sight = null;
  #percent = 50;
  #on = false;

  constructor(studio, on) {
    Object.assign(this, { studio, on });
    this.before = make(h("div", { class: "before" }));
    this.line = make(h("div", { class: "line", "data-parting": "" }));
    this.tags = make(h("div", { class: "tags" },
      h("span", { class: "tag left" }, "as shot"), h("span", { class: "tag right" }, "balanced")));
    this.element = make(h("div", { class: "parting", "aria-hidden": true, hidden: true }));
    this.element.append(this.before, this.line, this.tags);
    this.picture = new Picture(this.before);
  }

  /** Show it or not, with the line at so many per cent, and `over` laid over as on the other half. */
  show({ on, percent, over }) {
    this.#on = on;
    this.#percent = percent;
    this.element.hidden = !on;
    const { look } = this.studio.state.photo;
    if (on) this.picture.show({ url: (path) => this.studio.url(path), look, kind: "as-shot", over });
    this.#draw();
  }

  place(sight) {
    this.#sight = sight;
    this.picture.place(sight);
    this.on.extent(extentOf(sight));
    this.#draw();
  }

  grab(target) {
    if (!target.closest("[data-parting]")) return null;
    const before = this.#percent;
    return { move: (point) => this.#to(point.x), drop() {}, cancel: () => this.on.moved(before) };
  }

  leave() {
    this.picture.leave();
  }

  #to(x) {
    const { left, right } = extentOf(this.#sight);
    this.on.moved(Math.min(100, Math.max(0, (100 * (x - left)) / (right - left))));
  }

  #draw() {
    if (!this.#sight || !this.#on) return;
    const { left, right } = extentOf(this.#sight);
    const x = left + ((right - left) * this.#percent) / 100;
    this.element.style.setProperty("--line", `${x}px`);
    this.element.style.setProperty("--rest", `${this.#sight.room.width - x}px`);
  }
}

/** Where the photo begins and ends in its room, in CSS pixels. */
function extentOf({ frame, scale, left, room }) {
  return { left: Math.max(0, left), right: Math.min(room.width, left + frame.width_px * scale), room };
}
