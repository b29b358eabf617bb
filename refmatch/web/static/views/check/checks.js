/**
 * The painting's checks, as this window sees them: the `checks`.
 *
 *     checks.state             what the server last said, null before it has
 *     checks.doing, checks.why    { part, words } of what is under way, and of what was refused;
 *                              `part` is the piece of the page that it belongs to
 *     checks.share             how much of a photo is sent, 0 to 1, else null
 *
 * What is judged or said to be done is in the painting's record before it is shown.
 */
import { get, post } from "../../core/api.js";
import { sendPhoto } from "../../core/send.js";

/** What was last shown of a painting, to be shown at once on the way back to this view. */
/** @type {Map<string, CheckState>} */
const lastShown = new Map();

export class Checks {
  /** @type {Promise<unknown>} */
  #turn = Promise.resolve();
  #left = false;

  /**
   * `changed()` is called whenever there is something new to show.
   *
   * @param {Studio} studio
   * @param {() => void} changed
   */
  constructor(studio, changed) {
    const base = `paintings/${studio.id}`;
    this.studio = studio;
    this.changed = changed;
    this.base = base;
    /** @type {CheckState | null} */
    this.state = lastShown.get(studio.id) ?? null;
    /** @type {Word | null} */
    this.doing = null;
    /** @type {number | null} */
    this.share = null;
    /** @type {Word | null} */
    this.why = null;
  }

  leave() {
    this.#left = true;
  }

  /** The state, for what is shown only once it has come. */
  get now() {
    if (!this.state) throw new Error("The checks have not come yet.");
    return this.state;
  }

  /** Ask for what there is, without a word: whatever was refused stays said. */
  load() {
    this.#turn = this.#turn.then(() => this.#load());
    return this.#turn;
  }

  /**
   * Lay a photo on the table.
   *
   * @param {File} file
   */
  lay(file) {
    /** @param {number} share */
    const sent = (share) => this.#show(share < 1
      ? { share }
      : { share: null, doing: { part: "photo", words: `Opening “${file.name}” …` } });
    return this.#do("photo", `Sending “${file.name}” …`, () =>
      sendPhoto(`${this.base}/checks/photos`, file, { most: this.state?.most_photo_bytes, sent }));
  }

  /** @param {string} part @param {string} words @param {Fields} asked */
  judge(part, words, asked) {
    return this.#do(part, words, () => post(`${this.base}/checks`, { photo: this.now.photo?.key, ...asked }));
  }

  /**
   * Say what was done after a round; `part` names the puddle.
   *
   * @param {string} hole
   * @param {Round} round
   * @param {Fields} fields
   */
  did(hole, { pile, number }, fields) {
    return this.#do(hole, "", () => post(`${this.base}/checks/done`, { hole, pile, number, ...fields }));
  }

  /**
   * Say what a puddle was really mixed of; without a round it is the first one, and "" takes it back.
   *
   * @param {string} hole
   * @param {string} parts
   * @param {Round} [round]
   */
  mixed(hole, parts, round) {
    const last = round ? { pile: round.pile, number: round.number } : {};
    return this.#do(hole, "", () => post(`${this.base}/checks/mixed`, { hole, parts, ...last }));
  }

  /** @param {string} hole @param {Round} round */
  takeBack(hole, { pile, number }) {
    return this.#do(hole, "", () => post(`${this.base}/checks/not-done`, { hole, pile, number }));
  }

  /** @param {string} paper @param {number} grey_lstar */
  layCard(paper, grey_lstar) {
    return this.#do("card", "Laying out the card …", () => post(`${this.base}/dab-card`, { paper, grey_lstar }));
  }

  /** @param {string} path */
  url(path) {
    return this.studio.url(path);
  }

  /**
   * One after the other; resolves to whether it was done.
   *
   * @param {string} part
   * @param {string} words
   * @param {() => Promise<CheckState>} act
   */
  #do(part, words, act) {
    const done = this.#turn.then(async () => {
      this.#show({ doing: { part, words }, why: null });
      try {
        this.#take(await act());
        await this.studio.refresh();
        this.#show({ doing: null, share: null });
        if (this.now.revision !== this.studio.state.revision) await this.#load();
        return true;
      } catch (error) {
        this.#show({ doing: null, share: null, why: { part, words: error.message } });
        if (error.status) await this.#load(); // what was refused may have been of a state that is gone
        return false;
      }
    });
    this.#turn = done;
    return done;
  }

  async #load() {
    try {
      this.#take(await get(`${this.base}/checks`));
      this.#show({});
    } catch (error) {
      this.#show({ why: { part: "photo", words: error.message } });
    }
  }

  /** @param {CheckState} state */
  #take(state) {
    this.state = state;
    lastShown.set(this.studio.id, state);
  }

  /** @param {Partial<Checks>} what */
  #show(what) {
    Object.assign(this, what);
    if (!this.#left) this.changed();
  }
}
