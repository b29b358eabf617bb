/**
 * How much of the light is kept, as the hand has it: tried on the picture, saved at rest.
 *
 * The server draws the photo with any part kept without a step being saved, so one drag
 * of the slider is one step to take back.
 */
import { newest } from "../../core/newest.js";

const REST_MS = 700;

/** One studio's slider. `changed()` is called when the picture is another, `send(percent)` saves. */
export class Kept {
  /** @type {number | null} */
  #draft = null;
  /** @type {number | null} */
  #seen = null;
  #timer = 0;

  /**
   * @param {Studio} studio
   * @param {() => void} changed
   * @param {(percent: number) => Promise<unknown>} send
   */
  constructor(studio, changed, send) {
    this.studio = studio;
    this.changed = changed;
    this.send = send;
    /** @param {number} percent */
    const show = (percent) => {
      if (this.#draft === null) return;
      this.#seen = percent;
      this.changed();
    };
    this.look = newest((percent) => this.#load(percent), (loaded) => show(loaded.percent), 12);
  }

  /** The part kept, in per cent. */
  get percent() {
    return this.#draft ?? Math.round(this.studio.state.light.asked.keep_light_percent);
  }

  /** The kind of picture that shows it. */
  get picture() {
    return this.#seen === null ? "balanced" : `keeping-${this.#seen}`;
  }

  /** @param {number} percent */
  try(percent) {
    if (percent === this.percent) return;
    this.#draft = percent;
    this.look(percent);
    this.changed();
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.save(), REST_MS);
  }

  async save() {
    clearTimeout(this.#timer);
    const draft = this.#draft;
    if (draft === null) return;
    if (draft !== this.studio.state.light.asked.keep_light_percent) await this.send(draft);
    if (this.#draft === draft) this.#forget();
  }

  /**
   * What is saved has become what was tried: the photo itself may be shown again.
   *
   * @param {State} state
   */
  update({ light }) {
    if (this.#draft === light.asked.keep_light_percent) this.#forget();
  }

  leave() {
    this.changed = () => {};
    this.save();
    this.look.stop();
  }

  #forget() {
    clearTimeout(this.#timer);
    this.#draft = null;
    this.#seen = null;
    this.look.stop();
    this.changed();
  }

  /** @param {number} percent */
  async #load(percent) {
    const image = new Image();
    image.src = this.studio.url(`pictures/${this.studio.state.photo.look}/keeping-${percent}.jpg`);
    await image.decode();
    return { percent };
  }
}
