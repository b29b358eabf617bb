/**
 * What the tubes on the table reach, asked for again only when the tubes or the finish change.
 */

/** The reach of one studio's tubes; `changed()` is called when an answer has come. */
export class Reach {
  /** @type {Outlines | null} */
  #known = null;
  /** @type {string | null} */
  #of = null;

  /** @param {Studio} studio @param {() => void} changed */
  constructor(studio, changed) {
    this.studio = studio;
    this.changed = changed;
  }

  /**
   * The reach for a state, or the last one known while the new one is under way.
   *
   * @param {State} state
   */
  of({ box, options }) {
    const tubes = JSON.stringify([box.name, options.finish, box.tubes.map(({ tube, away }) => [tube, away])]);
    if (tubes !== this.#of) {
      this.#of = tubes;
      this.#fetch(tubes);
    }
    return this.#known;
  }

  leave() {
    this.changed = () => {};
  }

  /** @param {string} tubes */
  async #fetch(tubes) {
    const reach = await this.studio.ask("reach").catch(() => null);
    if (tubes !== this.#of || !reach) return;
    this.#known = reach;
    this.changed();
  }
}
