/**
 * The holes over the photo: each a button that can be dragged, nudged, sized and removed.
 *
 * A ring stands just outside the colour that is read, black and white, so that it shows
 * on any photo and covers none of the hole.
 */
import { find, h, make, morph } from "../../core/dom.js";
import { arrows, keys } from "../../core/keys.js";
import { say } from "../../core/say.js";
import { placeLabels } from "../labels.js";
import { Drafts } from "./drafts.js";
import { onPhoto, toPhoto, toRoom, UNSEEN } from "./sight.js";

/**
 * @typedef {object} HolesOptions
 * @property {boolean} [movable]
 * @property {(spot: Spot | null) => void} onPoint
 * @property {() => void} onDraft
 * @property {(key: string) => void} [onName]
 * @property {() => void} toPhoto
 */

const LEAST_PX = 3;
const STEP = 1.12;
const NUMBER = { width: 22, height: 22 };

/**
 * The layer of holes. `movable` lets them be changed; `onPoint(spot | null)` hears where a
 * dragged hole is, `onDraft()` that one is ahead of what is saved; `onName(key)` is asked
 * for with F2; `toPhoto()` gives the focus back.
 */
export class Holes {
  #sight = UNSEEN;

  /** @param {Studio} studio @param {HolesOptions} options */
  constructor(studio, options) {
    this.studio = studio;
    this.options = options;
    this.drafts = new Drafts(studio, () => {
      this.#draw();
      options.onDraft();
    });
    this.element = make(h("div", { class: "holes", role: "group", "aria-label": "Holes" }));
    if (options.movable) keys(this.element, this.#keyMap());
  }

  /** @param {Sight} sight */
  place(sight) {
    this.#sight = sight;
    this.#draw();
  }

  /**
   * A press on a hole chooses it, and drags it where that is allowed.
   *
   * @param {Element} target
   * @param {Point} point
   */
  grab(target, point) {
    const hole = this.#holeAt(target);
    if (!hole) return null;
    this.studio.choose(hole.key);
    const still = { move() {}, drop() {}, cancel() {} };
    return this.options.movable ? this.#drag(hole, point) : still;
  }

  /**
   * A hole that is not chosen moves only when a finger rests on it.
   *
   * @param {Element} target
   */
  waits(target) {
    const hole = this.#holeAt(target);
    return hole !== null && hole.key !== this.studio.chosen;
  }

  /**
   * Size the chosen hole if the point is over it; says whether it was.
   *
   * @param {Point} point
   * @param {number} steps
   */
  sizeAt(point, steps) {
    const hole = this.#shown(this.studio.chosen);
    if (!this.options.movable || !hole) return false;
    const { x, y } = toRoom(this.#sight, hole);
    const reach = Math.max(14, (hole.diameter_px * this.#sight.scale) / 2 + 4);
    if (Math.hypot(point.x - x, point.y - y) > reach) return false;
    this.size(hole.key, STEP ** steps);
    return true;
  }

  /**
   * Take a hole away; the focus goes back to the photo.
   *
   * @param {Hole} hole
   */
  remove(hole) {
    this.drafts.forget(hole.key);
    this.studio.change("remove", { hole: hole.key });
    say(`Hole ${hole.number} removed.`);
    this.options.toPhoto();
  }

  /**
   * Make a hole larger or smaller by a factor.
   *
   * @param {string} key
   * @param {number} factor
   */
  size(key, factor) {
    const hole = this.#shown(key);
    if (!hole) return;
    const most = Math.min(this.#sight.frame.width_px, this.#sight.frame.height_px);
    const diameter_px = Math.min(most, Math.max(LEAST_PX, hole.diameter_px * factor));
    this.drafts.set(key, { diameter_px: Math.round(diameter_px * 10) / 10 });
    this.drafts.saveSoon(key);
    this.options.onPoint(this.#shown(key));
  }

  /** @param {string} key */
  focus(key) {
    find(this.element, `[data-hole="${CSS.escape(key)}"]`)?.focus();
  }

  leave() {
    this.drafts.leave();
  }

  /** @param {string | null} key */
  #shown(key) {
    const hole = this.studio.hole(key);
    return hole && hole.photo === this.studio.state.shown ? this.drafts.of(hole) : null;
  }

  /** @param {Element} target */
  #holeAt(target) {
    return this.#shown(target.closest("[data-hole]")?.getAttribute("data-hole") ?? null);
  }

  /** @param {Hole} hole @param {Point} start */
  #drag(hole, start) {
    const from = toRoom(this.#sight, hole);
    /** @param {Point} point */
    const move = (point) => {
      const to = { x: from.x + point.x - start.x, y: from.y + point.y - start.y };
      const spot = onPhoto(this.#sight.frame, toPhoto(this.#sight, to));
      this.drafts.set(hole.key, spot);
      this.options.onPoint({ ...spot, diameter_px: hole.diameter_px });
    };
    const drop = () => this.drafts.save(hole.key);
    return { move, drop, cancel: () => this.drafts.forget(hole.key) };
  }

  #keyMap() {
    /** @param {(hole: Hole) => unknown} act */
    const with_ = (act) => (/** @type {On<KeyboardEvent>} */ event) => {
      const hole = this.#holeAt(event.target);
      return hole ? act(hole) : false;
    };
    const larger = with_((hole) => this.size(hole.key, STEP));
    const smaller = with_((hole) => this.size(hole.key, 1 / STEP));
    const remove = with_((hole) => this.remove(hole));
    return {
      ...arrows((dx, dy, event) => this.#nudge(this.#holeAt(event.target), dx, dy, event.shiftKey)),
      "+": larger, "=": larger, "-": smaller, Delete: remove, Backspace: remove,
      F2: with_((hole) => this.options.onName?.(hole.key)),
      Escape: () => this.options.toPhoto(),
    };
  }

  /** @param {Hole | null} hole @param {number} dx @param {number} dy @param {boolean} far */
  #nudge(hole, dx, dy, far) {
    if (!hole) return;
    const step = Math.max(1, Math.round(1 / this.#sight.scale)) * (far ? 10 : 1);
    const to = { x_px: hole.x_px + dx * step, y_px: hole.y_px + dy * step };
    const spot = onPhoto(this.#sight.frame, to);
    this.drafts.set(hole.key, spot);
    this.drafts.saveSoon(hole.key);
    this.options.onPoint({ ...spot, diameter_px: hole.diameter_px });
  }

  #draw() {
    if (this.#sight === UNSEEN) return;
    const { holes: all, shown } = this.studio.state;
    const holes = all.filter((hole) => hole.photo === shown).map((hole) => this.drafts.of(hole));
    const spots = holes.map((hole) => ({
      ...toRoom(this.#sight, hole),
      radius: (hole.diameter_px * this.#sight.scale) / 2 + 3,
    }));
    const numbers = placeLabels(spots, NUMBER, this.#sight.room);
    morph(this.element, holes.map((hole, i) => this.#button(hole, spots[i], numbers[i])));
  }

  /** @param {Hole} hole @param {Point & { radius: number }} spot @param {Point} number */
  #button(hole, spot, number) {
    const chosen = hole.key === this.studio.chosen;
    return h("button", {
      key: hole.key,
      type: "button",
      class: "hole",
      "data-hole": hole.key,
      "aria-label": `Hole ${hole.number}: ${hole.named ? `${hole.label}, ` : ""}${hole.words}`,
      "aria-pressed": chosen,
      "aria-describedby": this.options.movable ? "hole-keys" : null,
      onclick: () => this.studio.choose(hole.key),
      style: {
        transform: `translate(${spot.x}px, ${spot.y}px) translate(-50%, -50%)`,
        "--ring": `${Math.max(2, (spot.radius - 3) * 2)}px`,
        "--number": `translate(${number.x - spot.x}px, ${number.y - spot.y}px) translate(-50%, -50%)`,
      },
    }, h("span", { class: "ring" }), h("span", { class: "number" }, hole.number));
  }
}
