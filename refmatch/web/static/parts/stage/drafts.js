/**
 * Holes as the hand has them now, a little ahead of what is saved.
 *
 * A hole being dragged, nudged or sized moves at once; the change is sent when the hand
 * rests, so a run of nudges is one step to take back.
 */

const REST_MS = 300;

/** The drafts over one studio's holes; `changed()` is called when one comes or goes. */
export class Drafts {
  #drafts = new Map();
  #timers = new Map();

  /** @param {Studio} studio @param {() => void} changed */
  constructor(studio, changed) {
    this.studio = studio;
    this.changed = changed;
    this.stop = studio.holdsBack(() => this.#saveAll());
  }

  /**
   * The hole as it is to be shown.
   *
   * @param {Hole} hole
   */
  of(hole) {
    return { ...hole, ...this.#drafts.get(hole.key) };
  }

  /**
   * Set some fields of a hole, for now.
   *
   * @param {string} key
   * @param {Partial<Spot>} fields
   */
  set(key, fields) {
    this.#drafts.set(key, { ...this.#drafts.get(key), ...fields });
    this.changed();
  }

  /**
   * Forget the draft of a hole.
   *
   * @param {string} key
   */
  forget(key) {
    clearTimeout(this.#timers.get(key));
    if (this.#drafts.delete(key)) this.changed();
  }

  /**
   * Save a draft once the hand has rested.
   *
   * @param {string} key
   */
  saveSoon(key) {
    clearTimeout(this.#timers.get(key));
    this.#timers.set(key, setTimeout(() => this.save(key), REST_MS));
  }

  /**
   * Save a draft now: what of it differs from the hole as saved.
   *
   * @param {string} key
   */
  async save(key) {
    clearTimeout(this.#timers.get(key));
    const draft = this.#drafts.get(key);
    const hole = this.studio.hole(key);
    if (!draft || !hole) return this.forget(key);
    const { x_px, y_px, diameter_px } = { ...hole, ...draft };
    const sent = [];
    if (x_px !== hole.x_px || y_px !== hole.y_px) {
      sent.push(this.studio.change("move", { hole: key, x_px, y_px }, `move ${key}`));
    }
    if (diameter_px !== hole.diameter_px) {
      sent.push(this.studio.change("size", { hole: key, diameter_px }, `size ${key}`));
    }
    await Promise.all(sent);
    if (this.#drafts.get(key) === draft) this.forget(key);
    return undefined;
  }

  /** Save all that still waits, as when the view is left. */
  leave() {
    this.stop();
    this.changed = () => {};
    this.#saveAll();
  }

  #saveAll() {
    [...this.#drafts.keys()].forEach((key) => this.save(key));
  }
}
