/**
 * The photo itself: a coarse picture at once, sharp tiles over it, moved as one sheet.
 *
 * Pan and zoom are one CSS transform, so the largest photo moves as smoothly as a small
 * one. The sheet is laid out in pixels of the photo, so at 1 : 1 nothing is resampled. The
 * stage and the loupe each keep one of these.
 */
import { h, make } from "../../core/dom.js";
import { Tiles } from "./tiles.js";
import { UNSEEN } from "./sight.js";

/** The picture in `room`, an element that clips what hangs over. */
export class Picture {
  /** @type {Pictured | null} */
  #what = null;
  /** @type {HTMLImageElement | null} */
  #base = null;
  /** @type {HTMLImageElement | null} */
  #over = null;
  #sight = UNSEEN;
  #laidOnce = () => {};

  /** @param {HTMLElement} room */
  constructor(room) {
    /** Fulfilled when the first picture lies there, or could not be had. */
    this.laid = /** @type {Promise<void>} */ (new Promise((done) => { this.#laidOnce = done; }));
    this.sheet = make(h("div", { class: "sheet", "aria-hidden": true }));
    this.tiles = new Tiles(this.sheet);
    room.append(this.sheet);
  }

  /**
   * Show `{ url, look, kind, over }`: `url(path)` of the painting, the look of its
   * pictures, the kind of picture ("balanced", "values-5" ...) and the name of one to lay
   * over ("clipped.png") or null. Only the balanced photo has tiles.
   *
   * @param {Pictured} next
   */
  async show(next) {
    const changed = next.look !== this.#what?.look || next.kind !== this.#what?.kind;
    const overChanged = changed || next.over !== this.#what?.over;
    this.#what = next;
    if (overChanged) this.#layOver(next);
    if (changed) await this.#lay(next);
  }

  /**
   * Bring the sheet where the sight says.
   *
   * @param {Sight} sight
   */
  place(sight) {
    this.#sight = sight;
    const { frame, scale, left, top } = sight;
    const style = this.sheet.style;
    style.setProperty("width", `${frame.width_px}px`);
    style.setProperty("height", `${frame.height_px}px`);
    style.setProperty("transform", `translate(${left}px, ${top}px) scale(${scale})`);
    this.sheet.classList.toggle("close", scale * devicePixelRatio >= 4);
    this.#sharpen();
  }

  leave() {
    this.#what = null;
    this.tiles.clear();
    this.sheet.remove();
  }

  /** @param {Pictured} next */
  async #lay(next) {
    const image = plainImage(next, `${next.kind}.jpg`, "base");
    await image.decode().catch(() => null);
    if (this.#what !== next && this.#what?.kind !== next.kind) return;
    this.tiles.clear();
    this.#base?.remove();
    this.#base = image;
    this.sheet.prepend(image);
    this.#laidOnce();
    this.#sharpen();
  }

  /** @param {Pictured} next */
  #layOver(next) {
    this.#over?.remove();
    this.#over = next.over ? plainImage(next, next.over, "over") : null;
    if (this.#over) this.sheet.append(this.#over);
  }

  #sharpen() {
    const what = this.#what;
    if (!this.#base || this.#sight === UNSEEN || !what) return;
    if (what.kind !== "balanced") return this.tiles.clear();
    /** @param {ToPlane[]} at */
    const url = (/** @type {number[]} */ ...at) => what.url(`tiles/${what.look}/${at.join("/")}.jpg`);
    this.tiles.want(url, this.#sight, this.#base.naturalWidth);
  }
}

/** @param {Pictured} what @param {string} name @param {string} kind */
function plainImage(what, name, kind) {
  const src = what.url(`pictures/${what.look}/${name}`);
  return make(h("img", { src, alt: "", class: kind, draggable: "false" }));
}
