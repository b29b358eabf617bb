/**
 * The photo on the table, with whatever lies over it: shared by every view that shows it.
 *
 *     const photo = stage(root, studio, {
 *       spotWord: "Punch a hole",        what a click does, for the label
 *       onSpot: (spot, {byKey}) => ...,  a click on the bare photo, or Enter at the crosshair
 *       onPoint: (spot | null) => ...,   what is pointed at: pointer, crosshair, dragged hole
 *       onName: (key) => ...,            F2 on a hole
 *       onSight: (stage) => ...,         another part is seen, or nearer; stage.scale says how near
 *       holes: true, movable: true,      whether holes show, and whether they may be moved
 *     });
 *     photo.show({ picture: "values-5", over: "clipped.png", card: "grey", grid: false });
 *     photo.add(layer);                  a layer of your own: { element, place(sight), grab?, waits?, leave? }
 *     photo.update(); photo.leave();
 *
 * Spots are `{x_px, y_px[, diameter_px]}` in pixels of the frame. The wheel zooms, but over
 * the chosen hole it sizes that hole; keys go to what has the focus.
 */
import { h, make } from "../../core/dom.js";
import { styles } from "../../core/styles.js";
import { Card } from "./card.js";
import { Crosshair } from "./crosshair.js";
import { Gestures } from "./gestures.js";
import { Grid } from "./grid.js";
import { Holes } from "./holes.js";
import { Picture } from "./picture.js";
import { fitted, isFitted, isOnPhoto, panned, resized, toPhoto, UNSEEN, zoomed } from "./sight.js";
import { holeKeys, surface } from "./surface.js";

/**
 * What is shown of the photo: which picture of it, what lies over it, which card, and the grid.
 *
 * @typedef {object} Showing
 * @property {string} picture
 * @property {string | null} over
 * @property {string | null} card
 * @property {boolean} grid
 */

await styles(import.meta.url, "stage.css");

const NOTCH = 1.2;

/**
 * Put a stage into `root`.
 *
 * @param {HTMLElement} root
 * @param {Studio} studio
 * @param {StageOptions} [options]
 */
export function stage(root, studio, options = {}) {
  return new Stage(root, studio, options);
}

export class Stage {
  /** @type {Showing} */
  #shown = { picture: "balanced", over: null, card: null, grid: true };
  /** @type {Layer[]} */
  #layers = [];
  #sight = UNSEEN;
  #frameOf = 0;

  /** @param {HTMLElement} root @param {Studio} studio @param {StageOptions} options */
  constructor(root, studio, options) {
    this.studio = studio;
    this.options = options;
    this.surface = make(surface(options));
    this.element = make(h("div", { class: "stage" }));
    this.element.append(this.surface, make(holeKeys()));
    root.append(this.element);
    this.picture = new Picture(this.surface);
    this.grid = new Grid();
    this.holes = new Holes(studio, {
      ...options,
      onPoint: (spot) => options.onPoint?.(spot),
      onDraft: () => this.card.place(this.#sight),
      toPhoto: () => this.surface.focus(),
    });
    this.card = new Card(studio, (hole) => this.holes.drafts.of(hole));
    this.crosshair = new Crosshair(this.surface, {
      onPoint: (spot) => options.onPoint?.(spot, { byKey: true }),
      onSpot: (spot) => options.onSpot?.(spot, { byKey: true }),
      see: (sight) => this.see(sight),
      zoom: (factor, at) => this.zoom(factor, at),
      fit: () => this.fit(),
    });
    [this.grid, this.card, this.crosshair].forEach((layer) => this.add(layer));
    if (options.holes !== false) this.add(this.holes);
    this.hands = new Gestures(this.element, this.#hands());
    this.watch = new ResizeObserver(() => this.#resize());
    this.watch.observe(this.element);
    this.update();
  }

  /**
   * Show other pictures or layers; what is not named stays as it is.
   *
   * @param {Partial<Showing>} changes
   */
  show(changes) {
    Object.assign(this.#shown, changes);
    this.update();
  }

  /**
   * Add a layer over the others.
   *
   * @param {Layer} layer
   */
  add(layer) {
    this.#layers.push(layer);
    this.element.append(layer.element);
    if (this.#sight !== UNSEEN) layer.place(this.#sight);
  }

  /**
   * Take a layer away again.
   *
   * @param {Layer} layer
   */
  drop(layer) {
    this.#layers = this.#layers.filter((other) => other !== layer);
    layer.element.remove();
    layer.leave?.();
  }

  /** Draw what the studio's state says. */
  update() {
    const { photo, canvas } = this.studio.state;
    const { picture, over, card, grid } = this.#shown;
    this.element.style.setProperty("--photo-ratio", `${photo.width_px / photo.height_px}`);
    this.element.classList.toggle("carded", Boolean(card));
    /** @param {string} path */
    const url = (path) => this.studio.url(path);
    this.picture.show({ url, look: photo.look, kind: picture, over });
    this.card.show(card);
    this.grid.show(grid ? canvas : null);
    if (this.#isOf(photo)) this.see(this.#sight);
    else this.fit();
  }

  /**
   * Zoom by a factor about a point of the room, or about its middle.
   *
   * @param {number} factor
   */
  zoom(factor, point = this.#middle()) {
    this.see(zoomed(this.#sight, factor, point));
  }

  /** One pixel of the photo to one of the screen. */
  actual() {
    this.zoom(1 / devicePixelRatio / this.#sight.scale);
  }

  fit() {
    const { width_px, height_px } = this.studio.state.photo;
    const room = this.#room();
    if (room.width) this.see(fitted({ width_px, height_px }, room));
  }

  /** The scale now, in screen pixels for one of the photo. */
  get scale() {
    return this.#sight !== UNSEEN ? this.#sight.scale * devicePixelRatio : 0;
  }

  /**
   * Bring a sight on the page, once per frame of the screen.
   *
   * @param {Sight} sight
   */
  see(sight) {
    this.#sight = sight;
    this.#frameOf ||= requestAnimationFrame(() => this.#place());
  }

  leave() {
    cancelAnimationFrame(this.#frameOf);
    this.watch.disconnect();
    this.hands.leave();
    this.#layers.forEach((layer) => layer.leave?.());
    this.picture.leave();
    this.element.remove();
  }

  /** @returns {import("./gestures.js").Hands} */
  #hands() {
    /** @param {Point | null} at */
    const spotAt = (at) => at && toPhoto(this.#sight, at);
    /** @param {Place | null} spot */
    const onIt = (spot) => (spot && isOnPhoto(this.#sight.frame, spot) ? spot : null);
    /** @param {Point | null} at */
    const point = (at) => this.options.onPoint?.(onIt(spotAt(at)));
    return {
      hover: point,
      aim: point,
      tap: (at) => {
        const spot = onIt(spotAt(at));
        if (spot) this.options.onSpot?.(spot, { byKey: false });
      },
      grab: (target, at) => this.#grab(target, at),
      waits: (target) => this.#layers.some((layer) => layer.waits?.(target)),
      pan: (dx, dy) => this.see(panned(this.#sight, dx, dy)),
      zoom: (factor, at) => this.zoom(factor, at),
      wheel: (steps, at, event) => this.#wheel(steps, at, event),
    };
  }

  /** @param {Element} target @param {Point} at */
  #grab(target, at) {
    this.crosshair.hide();
    for (const layer of [...this.#layers].reverse()) {
      const held = layer.grab?.(target, at);
      if (held) return held;
    }
    return null;
  }

  /** @param {number} steps @param {Point} at @param {WheelEvent} event */
  #wheel(steps, at, event) {
    if (!event.ctrlKey && this.options.holes !== false && this.holes.sizeAt(at, steps)) return true;
    if (steps < 0 && isFitted(this.#sight)) return event.ctrlKey;
    this.zoom(NOTCH ** steps, at);
    return true;
  }

  #place() {
    this.#frameOf = 0;
    this.picture.place(this.#sight);
    this.#layers.forEach((layer) => layer.place(this.#sight));
    this.element.classList.toggle("zoomed", !isFitted(this.#sight));
    this.options.onSight?.(this);
  }

  /** @param {Extent} extent */
  #isOf({ width_px, height_px }) {
    const frame = this.#sight.frame;
    return frame?.width_px === width_px && frame.height_px === height_px;
  }

  #room() {
    return { width: this.element.clientWidth, height: this.element.clientHeight };
  }

  #middle() {
    return { x: this.#sight.room.width / 2, y: this.#sight.room.height / 2 };
  }

  #resize() {
    if (this.#sight !== UNSEEN) this.see(resized(this.#sight, this.#room()));
    else this.fit();
  }
}
