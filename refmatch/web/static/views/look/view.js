/**
 * Look: punch holes in the card that lies over the photo, and see each colour alone.
 */
import { find, h, morph, room } from "../../core/dom.js";
import { say } from "../../core/say.js";
import { styles } from "../../core/styles.js";
import { Reading } from "../../parts/reading/reading.js";
import { stage } from "../../parts/stage/stage.js";
import { Under } from "../../parts/under.js";
import { CanvasForm } from "./canvas.js";
import { Cropping } from "./cropping.js";
import { photosRow } from "./photos.js";
import { slips } from "./slips.js";
import { tools } from "./tools.js";

await styles(import.meta.url, "view.css");

/** @type {View} */
export const view = { word: "Look", title: "Look", mount: (root, studio) => new Look(root, studio) };

const SHARE = 0.02;
const LEAST_PX = 9;

export class Look {
  /** @type {number | null} */
  #diameter = null;
  /** @type {string | null} */
  #where = null;
  /** @type {string | null | undefined} */
  #slip = undefined;

  /** @param {HTMLElement} root @param {Studio} studio */
  constructor(root, studio) {
    this.root = root;
    this.studio = studio;
    this.card = "";
    this.grid = true;
    morph(root, frame());
    this.reading = new Reading(room(root, ".reading-room"), studio);
    this.under = new Under(room(root, ".under-room"), studio);
    this.photo = stage(room(root, ".stage-room"), studio, {
      spotWord: "punch a hole",
      movable: true,
      onSpot: (spot, how) => this.#punch(spot, how),
      onPoint: (spot, how) => this.#point(spot, how),
      onName: (key) => this.#name(key),
      onSight: () => this.#drawTools(),
    });
    this.canvas = new CanvasForm(studio, () => this.#drawTools());
    this.cropping = new Cropping(this.photo, studio, () => this.lay(""));
  }

  /** @param {State} state */
  update(state) {
    this.#readChosen(this.studio.hole(this.studio.chosen));
    this.photo.update();
    this.under.update(state);
    this.cropping.update();
    morph(room(this.root, ".photos-room"), photosRow(state, this.studio));
    morph(room(this.root, ".slips"), slips(state, this.studio));
    this.#showSlip();
    this.#drawTools();
  }

  leave() {
    [this.cropping, this.photo, this.under, this.reading].forEach((part) => part.leave());
    morph(this.root);
  }

  /** How large a new hole is: as the one chosen, so that holes keep one size. */
  get diameter() {
    const { width_px, height_px } = this.studio.state.photo;
    const usual = Math.max(LEAST_PX, SHARE * Math.min(width_px, height_px));
    return this.studio.hole(this.studio.chosen)?.diameter_px ?? this.#diameter ?? usual;
  }

  /**
   * Choose the card that hides the photo, "" for none.
   *
   * @param {string} card
   */
  lay(card) {
    this.card = card;
    this.photo.show({ card: card || null });
    this.#drawTools();
  }

  toggleGrid() {
    this.grid = !this.grid;
    this.photo.show({ grid: this.grid });
    this.#drawTools();
  }

  /** @param {Place} spot @param {{ byKey: boolean }} how */
  async #punch(spot, { byKey }) {
    if (this.cropping.on) return;
    const state = await this.studio.change("punch", { ...spot, diameter_px: this.diameter });
    const made = this.studio.hole(state?.made);
    if (!made) return;
    this.#diameter = made.diameter_px;
    if (!byKey) this.photo.holes.focus(made.key);
    say(`Hole ${made.number} punched: ${made.words}.`);
  }

  /**
   * Read what is pointed at; nothing is, and the reading is the chosen hole's again.
   *
   * @param {Place | Spot | null} spot
   * @param {How} [how]
   */
  #point(spot, how) {
    const pointed = spot && { diameter_px: this.diameter, ...spot };
    const chosen = this.studio.hole(this.studio.chosen);
    this.reading.point(pointed ?? (chosen?.photo === this.studio.state.shown ? chosen : null), how);
  }

  /**
   * Read the chosen hole when it is another, or lies elsewhere than before.
   *
   * @param {Hole | null} hole
   */
  #readChosen(hole) {
    if (hole && hole.photo !== this.studio.state.shown) return;
    const where = hole && [hole.key, hole.x_px, hole.y_px, hole.diameter_px].join();
    if (where && where !== this.#where) this.reading.point(hole);
    this.#where = where;
  }

  /** Bring the slip of another chosen hole to the top of its column; the page itself never scrolls. */
  #showSlip() {
    const { chosen } = this.studio;
    if (chosen === this.#slip) return;
    const first = this.#slip === undefined;
    this.#slip = chosen;
    const slip = chosen && document.getElementById(`slip-${chosen}`);
    if (first || !slip) return;
    const column = room(this.root, ".slips");
    column.scrollTop += slip.getBoundingClientRect().top - column.getBoundingClientRect().top;
  }

  /**
   * Go to the name of a hole; Enter there goes back to the hole.
   *
   * @param {string} key
   */
  #name(key) {
    this.studio.choose(key);
    const field = find(document, `#slip-${CSS.escape(key)} .slip-name`);
    if (!(field instanceof HTMLInputElement)) return;
    field.focus();
    field.select();
    /** @param {KeyboardEvent} event */
    const back = (event) => event.key === "Enter" && this.photo.holes.focus(key);
    field.addEventListener("keydown", back);
    field.addEventListener("blur", () => field.removeEventListener("keydown", back), { once: true });
  }

  #drawTools() {
    if (!this.canvas) return;
    morph(room(this.root, ".photo-tools"), tools(this));
  }
}

function frame() {
  return h("div", { class: "table look" },
    h("h1", { class: "unseen" }, "Look"),
    h("section", { class: "photo-side", "aria-label": "Photo" },
      h("div", { class: "photo-block" },
        h("div", { class: "photos-room", own: true }),
        h("div", { class: "stage-room", own: true }),
        h("div", { class: "photo-tools", own: true })),
      h("div", { class: "under-room", own: true })),
    h("section", { class: "slip-side", "aria-label": "Colours" },
      h("div", { class: "reading-room", own: true }),
      h("div", { class: "slips", own: true })));
}
