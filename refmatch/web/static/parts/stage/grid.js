/**
 * A grid in centimetres of the canvas, to carry the drawing over.
 *
 * Each line is a black and a white hairline side by side, so it shows on any photo.
 */
import { h, make, morph } from "../../core/dom.js";
import { UNSEEN } from "./sight.js";

const HAIR = 1;

/** The grid's layer; `show(canvas)` takes the state's canvas or null. */
export class Grid {
  #sight = UNSEEN;
  /** @type {(Canvas & { grid_cm: number }) | null} */
  #canvas = null;

  constructor() {
    this.element = make(h("svg", { class: "grid", "aria-hidden": true }));
  }

  /** @param {Canvas | null} canvas */
  show(canvas) {
    this.#canvas = canvas?.grid_cm ? { ...canvas, grid_cm: canvas.grid_cm } : null;
    this.place(this.#sight);
  }

  /** @param {Sight} sight */
  place(sight) {
    this.#sight = sight;
    if (sight !== UNSEEN) morph(this.element, this.#canvas ? lines(sight, this.#canvas) : []);
  }
}

/** @param {Sight} sight @param {Canvas & { grid_cm: number }} canvas */
function lines(sight, { width_cm, height_cm, grid_cm }) {
  const { left, top, scale, frame } = sight;
  const right = left + frame.width_px * scale;
  const foot = top + frame.height_px * scale;
  const along = stops(width_cm, grid_cm).map((part) => Math.round(left + part * (right - left)));
  const down = stops(height_cm, grid_cm).map((part) => Math.round(top + part * (foot - top)));
  /** @param {number} off */
  const path = (off) => [
    ...along.map((x) => `M${x + off},${top}V${foot}`),
    ...down.map((y) => `M${left},${y + off}H${right}`),
  ].join("");
  return [
    h("path", { key: "dark", class: "dark", d: path(-HAIR / 2) }),
    h("path", { key: "light", class: "light", d: path(HAIR / 2) }),
  ];
}

/** @param {number} side_cm @param {number} grid_cm */
function stops(side_cm, grid_cm) {
  const count = Math.ceil(side_cm / grid_cm) - 1;
  return Array.from({ length: Math.max(0, count) }, (_, i) => ((i + 1) * grid_cm) / side_cm);
}
