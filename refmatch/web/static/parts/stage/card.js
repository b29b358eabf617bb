/**
 * The card: everything hidden but what shows through the holes.
 *
 * The holes are circles of the very size and place that are read, cut as a path, so at
 * any zoom the pixels that show are the pixels that count.
 */
import { h, make, morph } from "../../core/dom.js";
import { toRoom, UNSEEN } from "./sight.js";

/** The card's layer over a studio's photo; `ground` is "grey", "white", "toned" or null. */
export class Card {
  #sight = UNSEEN;
  /** @type {string | null} */
  #ground = null;

  /** @param {Studio} studio @param {(hole: Hole) => Hole} holeOf */
  constructor(studio, holeOf) {
    this.studio = studio;
    this.holeOf = holeOf;
    this.element = make(h("svg", { class: "card", "aria-hidden": true }));
  }

  /** @param {string | null} ground */
  show(ground) {
    this.#ground = ground;
    if (!ground) morph(this.element);
    this.place(this.#sight);
  }

  /** @param {Sight} sight */
  place(sight) {
    this.#sight = sight;
    if (sight === UNSEEN || !this.#ground) return;
    const { holes, shown } = this.studio.state;
    const circles = holes.filter((hole) => hole.photo === shown).map((hole) => circle(sight, this.holeOf(hole)));
    const whole = `M0,0H${sight.room.width}V${sight.room.height}H0Z`;
    morph(this.element,
      h("path", { class: `ground ${this.#ground}`, "fill-rule": "evenodd", d: [whole, ...circles].join("") }));
  }
}

/** @param {Sight} sight @param {Hole} hole */
function circle(sight, hole) {
  const { x, y } = toRoom(sight, hole);
  const r = (hole.diameter_px * sight.scale) / 2;
  return `M${x - r},${y}a${r},${r} 0 1,0 ${2 * r},0a${r},${r} 0 1,0 ${-2 * r},0Z`;
}
