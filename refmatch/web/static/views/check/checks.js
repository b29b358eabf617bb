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
const lastShown = new Map();

export class Checks {
  #turn = Promise.resolve();
  #left = false;

  /** `changed()` is called whenever there is something new to show. */
  constructor(studio, changed) {
    const base = `paintings/${studio.id}`;
    Object.assign(this, { studio, changed, base, state: lastShown.get(studio.id) ?? null, doing: null, share: null, why: null });
  }

  leave() {
    this.#left = true;
  }

  /** Ask for what there is, without a word: whatever was refused stays said. */
  load() {
    this.#turn = this.#turn.then(() => this.#load());
    return this.#turn;
  }

  /** Lay a photo on the table. */
  lay(file) {
    const sent = (share) => this.#show(share < 1
      ? { share }
      : { share: null, doing: { part: "photo", words: `Opening “${file.name}” …` } });
    return this.#do("photo", `Sending “${file.name}” …`, () =>
      sendPhoto(`${this.base}/checks/photos`, file, { most: this.state?.most_photo_bytes, sent }));
  }

  judge(part, words, asked) {
    return this.#do(part, words, () => post(`${this.base}/checks`, { photo: this.state.photo.key, ...asked }));
  }

  /** Say what was done after a round; `part` names the puddle. */
  did(hole, { pile, number }, fields) {
    return this.#do(hole, "", () => post(`${this.base}/checks/done`, { hole, pile, number, ...fields }));
  }

  takeBack(hole, { pile, number }) {
    return this.#do(hole, "", () => post(`${this.base}/checks/not-done`, { hole, pile, number }));
  }

  layCard(paper, grey_lstar) {
    return this.#do("card", "Laying out the card …", () => post(`${this.base}/dab-card`, { paper, grey_lstar }));
  }

  url(path) {
    return this.studio.url(path);
  }

  /** One after the other; resolves to whether it was done. */
  #do(part, words, act) {
    this.#turn = this.#turn.then(async () => {
      this.#show({ doing: { part, words }, why: null });
      try {
        this.#take(await act());
        await this.studio.refresh();
        this.#show({ doing: null, share: null });
        if (this.state.revision !== this.studio.state.revision) await this.#load();
        return true;
      } catch (error) {
        this.#show({ doing: null, share: null, why: { part, words: error.message } });
        if (error.status) await this.#load(); // what was refused may have been of a state that is gone
        return false;
      }
    });
    return this.#turn;
  }

  async #load() {
    try {
      this.#take(await get(`${this.base}/checks`));
      this.#show({});
    } catch (error) {
      this.#show({ why: { part: "photo", words: error.message } });
    }
  }

  #take(state) {
    this.state = state;
    lastShown.set(this.studio.id, state);
  }

  #show(what) {
    Object.assign(this, what);
    if (!this.#left) this.changed();
  }
}
