/**
 * A frame over the photo that can be dragged by its middle and its corners, by hand or
 * by keyboard, and keeps the canvas's proportions where there is a canvas.
 */
import { find, h, make, morph } from "../../core/dom.js";
import { arrows, keys } from "../../core/keys.js";
import { toRoom, UNSEEN } from "./sight.js";

/** @typedef {{ left: number, top: number, width: number, height: number }} Box */

const LEAST_PX = 32;
/** @type {Record<string, [right: number, low: number]>} */
const CORNERS = {
  "top left": [0, 0], "top right": [1, 0], "bottom left": [0, 1], "bottom right": [1, 1],
};

/** The layer; `before` is where the frame stood, null for as large as goes. */
export class CropFrame {
  #sight = UNSEEN;

  /** @param {Extent} photo @param {Canvas | null} canvas @param {Frame | null} before */
  constructor(photo, canvas, before) {
    this.most = { width: photo.width_px, height: photo.height_px };
    this.ratio = canvas ? canvas.width_cm / canvas.height_cm : null;
    this.box = this.#first(before);
    this.element = make(h("div", { class: "crop", role: "group", "aria-label": "The part that is painted" }));
    keys(this.element, arrows((dx, dy, event) => this.#byKey(event, dx, dy)));
  }

  /** @param {Sight} sight */
  place(sight) {
    this.#sight = sight;
    const { x, y } = toRoom(sight, { x_px: this.box.left, y_px: this.box.top });
    const width = this.box.width * sight.scale;
    const height = this.box.height * sight.scale;
    const size = { width: `${width}px`, height: `${height}px` };
    morph(this.element,
      h("button", {
        key: "middle", type: "button", class: "crop-middle", "data-crop": "middle",
        "aria-label": `Frame, ${this.#words()}`,
        style: { ...size, transform: `translate(${x}px, ${y}px)` },
      }),
      Object.entries(CORNERS).map(([name, [right, low]]) => h("button", {
        key: name, type: "button", class: "crop-corner", "data-crop": name,
        "aria-label": `Corner, ${name}`,
        style: {
          transform: `translate(${x + right * width}px, ${y + low * height}px) `
            + `translate(${-100 * right}%, ${-100 * low}%)`,
        },
      })));
  }

  /** @param {Element} target @param {Point} start */
  grab(target, start) {
    const part = target.closest("[data-crop]")?.getAttribute("data-crop");
    if (!part) return null;
    const from = this.box;
    /** @param {Point} point */
    const move = (point) => {
      const { scale } = this.#sight;
      this.#shift(part, from, (point.x - start.x) / scale, (point.y - start.y) / scale);
    };
    return { move, drop() {}, cancel: () => this.#set(from) };
  }

  focus() {
    find(this.element, "[data-crop]")?.focus();
  }

  /** The frame in whole pixels of the photo. */
  inPhoto() {
    const left_px = Math.round(this.box.left);
    const top_px = Math.round(this.box.top);
    return {
      left_px,
      top_px,
      width_px: Math.min(Math.round(this.box.width), this.most.width - left_px),
      height_px: Math.min(Math.round(this.box.height), this.most.height - top_px),
    };
  }

  /** @param {Frame | null} before */
  #first(before) {
    const { width, height } = this.most;
    const old = before
      ? {
        left: before.left_px, top: before.top_px, width: before.width_px, height: before.height_px,
      }
      : { left: 0, top: 0, width, height };
    if (!this.ratio) return old;
    const wide = Math.min(old.width, old.height * this.ratio);
    const high = wide / this.ratio;
    return {
      left: old.left + (old.width - wide) / 2,
      top: old.top + (old.height - high) / 2,
      width: wide,
      height: high,
    };
  }

  /** @param {On<KeyboardEvent>} event @param {number} dx @param {number} dy */
  #byKey(event, dx, dy) {
    const step = Math.max(1, (event.shiftKey ? 30 : 4) / this.#sight.scale);
    this.#shift(event.target.dataset.crop ?? "middle", this.box, dx * step, dy * step);
  }

  /** @param {string} part @param {Box} from @param {number} dx @param {number} dy */
  #shift(part, from, dx, dy) {
    this.#set(part === "middle" ? this.#moved(from, dx, dy) : this.#pulled(CORNERS[part], from, dx, dy));
  }

  /** @param {Box} from @param {number} dx @param {number} dy */
  #moved(from, dx, dy) {
    /** @param {number} value @param {number} most */
    const within = (value, most) => Math.min(Math.max(0, value), most);
    const left = within(from.left + dx, this.most.width - from.width);
    return { ...from, left, top: within(from.top + dy, this.most.height - from.height) };
  }

  /**
   * Pull one corner; the one across from it stays.
   *
   * @param {number[]} corner
   * @param {Box} from
   * @param {number} dx
   * @param {number} dy
   */
  #pulled([right, low], from, dx, dy) {
    const mostWide = right ? this.most.width - from.left : from.left + from.width;
    const mostHigh = low ? this.most.height - from.top : from.top + from.height;
    let width = Math.min(mostWide, Math.max(LEAST_PX, from.width + (right ? dx : -dx)));
    let height = Math.min(mostHigh, Math.max(LEAST_PX, from.height + (low ? dy : -dy)));
    if (this.ratio) {
      const byHeight = Math.abs(dy) * this.ratio > Math.abs(dx);
      width = Math.min(byHeight ? height * this.ratio : width, mostWide, mostHigh * this.ratio);
      height = width / this.ratio;
    }
    return {
      left: right ? from.left : from.left + from.width - width,
      top: low ? from.top : from.top + from.height - height,
      width,
      height,
    };
  }

  /** @param {Box} box */
  #set(box) {
    this.box = box;
    this.place(this.#sight);
  }

  #words() {
    const { width_px, height_px } = this.inPhoto();
    return `${width_px} by ${height_px} pixels`;
  }
}
