/**
 * What the server knows of the photo's light and values, asked for when it is looked at.
 */

/**
 * The guesses, and the values of the study shown; `changed()` is called when they come.
 * `photoSeen` is a promise: the photo comes first, what is guessed of it after.
 */
export class Studies {
  /** @type {Guess[] | null} */
  guesses = null;
  /** @type {StudyValue[] | null} */
  values = null;
  #now = { study: "", look: "" };

  /** @param {Studio} studio @param {() => void} changed @param {Promise<unknown>} photoSeen */
  constructor(studio, changed, photoSeen) {
    this.studio = studio;
    this.changed = changed;
    photoSeen.then(() => this.#guess());
  }

  /**
   * Want the values of a way of seeing the photo, as it looks now.
   *
   * @param {string} study
   */
  async want(study) {
    const { look } = this.studio.state.photo;
    if (study === this.#now.study && look === this.#now.look) return;
    if (study !== this.#now.study) this.values = null;
    const now = { study, look };
    this.#now = now;
    const levels = study.match(/^values-(\d)$/)?.[1];
    const said = levels && (await this.studio.ask(`values?levels=${levels}`).catch(() => null));
    if (now !== this.#now || !said) return;
    this.values = said.values;
    this.changed();
  }

  leave() {
    this.changed = () => {};
  }

  async #guess() {
    const said = await this.studio.ask("guesses").catch(() => null);
    this.guesses = said?.guesses ?? [];
    this.changed();
  }
}
