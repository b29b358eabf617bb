/**
 * The box in the making, as this window sees it: the `bench`.
 *
 *     bench.start           boxes and pigments to begin with, once they have come
 *     bench.box             the id of the box that is chosen
 *     bench.state           what the server last said of its making, null before there is a card
 *     bench.doing, bench.why    { part, words } of what is under way, and of what was refused;
 *                           `part` is the step of the page that it belongs to
 *
 * Every change is kept by the server before it is shown; nothing is lost by a reload.
 */
import { get, post } from "../../core/api.js";
import { say } from "../../core/say.js";
import { sendPhoto } from "../../core/send.js";

const KEY = "refmatch-tubes-of";

export class Bench {
  /** @type {Promise<unknown>} */
  #turn = Promise.resolve();
  #left = false;

  /**
   * `changed()` is called whenever there is something new to show.
   *
   * @param {() => void} changed
   */
  constructor(changed) {
    this.changed = changed;
    /** @type {Beginnings | null} */
    this.start = null;
    /** @type {BenchCard[]} */
    this.benches = [];
    /** @type {string | null} */
    this.box = null;
    /** @type {BenchState | null} */
    this.state = null;
    /** @type {Word | null} */
    this.doing = null;
    /** @type {number | null} */
    this.share = null;
    /** @type {Word | null} */
    this.why = null;
  }

  /**
   * Fetch what there is; `name` is that of the painting's box, which is shown first. Where it is not
   * on the shelf, the box that was looked at last.
   *
   * @param {string} name
   */
  open(name) {
    return this.#do("box", "", async () => {
      await this.#list();
      const { boxes } = this.shelf;
      const before = [localStorage.getItem(KEY), this.benches[0]?.boxes[0]];
      const chosen = boxes.find((box) => box.name === name) ?? boxes.find(({ id }) => id === before[0])
        ?? boxes.find(({ id }) => id === before[1]) ?? boxes[0];
      await this.#take(chosen.id);
    });
  }

  leave() {
    this.#left = true;
  }

  /** The state, for what is shown only once there is a card. */
  get now() {
    if (!this.state) throw new Error("No card is laid out yet.");
    return this.state;
  }

  /** What can be begun with, for what is shown only once it has come. */
  get shelf() {
    if (!this.start) throw new Error("The boxes have not come yet.");
    return this.start;
  }

  /**
   * Look at another box; resolves when its making, if it was begun, is shown.
   *
   * @param {string} box
   */
  choose(box) {
    return this.#do("box", "", () => this.#take(box));
  }

  /**
   * A box was added to the shelf: list it, and choose it.
   *
   * @param {string} box
   */
  added(box) {
    return this.#do("box", "", async () => {
      await this.#list();
      await this.#take(box);
    });
  }

  /**
   * Lay out the card; a box that has one keeps what was done with it.
   *
   * @param {string} paper
   * @param {number} grey_lstar
   */
  layCard(paper, grey_lstar) {
    return this.#do("card", "Laying out the card …", async () => {
      const path = this.state ? `benches/${this.state.id}/card` : "benches";
      const revision = this.state?.revision;
      this.state = await post(path, { box: this.box, paper, grey_lstar, revision });
      await this.#list();
    });
  }

  /** Lay out the sample card with its photo, and choose its box: a trial with no paint at all. */
  trySample() {
    return this.#do("photos", "Reading every dab of the sample photo …", async () => {
      await this.#begun(await post("benches/sample"));
      say("The sample photo is read.");
    });
  }

  /** @param {File} file */
  send(file) {
    /** @param {number} share */
    const sent = (share) => this.#show(share < 1
      ? { share }
      : { share: null, doing: { part: "photos", words: `Finding the card in “${file.name}”, reading every dab …` } });
    return this.#do("photos", `Sending “${file.name}” …`, async () => {
      const how = { most: this.start?.most_photo_bytes, sent };
      if (this.state) {
        const { id, revision } = this.now;
        this.state = await sendPhoto(`benches/${id}/photos?revision=${revision}`, file, how);
      } else await this.#begun(await sendPhoto("benches/photos", file, how));
      say(`“${file.name}” is read.`);
    });
  }

  /**
   * Mend a dab, put a photo away, say the light: see the server's list of changes.
   *
   * @param {string} part
   * @param {string} what
   * @param {Fields} fields
   */
  change(part, what, fields) {
    return this.#do(part, "", async () => {
      const { id, revision } = this.now;
      this.state = await post(`benches/${id}/changes`, { do: what, revision, ...fields });
    });
  }

  /** @param {string} name */
  make(name) {
    return this.#do("made", "Fitting the camera and the paints together …", async () => {
      const { id, revision } = this.now;
      this.state = await post(`benches/${id}/box`, { name, revision });
      await this.#list();
      say(`The box “${name}” is made.`);
    });
  }

  /**
   * A card was begun by its photo alone: look at it.
   *
   * @param {BenchState} state
   */
  async #begun(state) {
    await this.#list();
    const box = this.benches.find(({ id }) => id === state.id)?.boxes[0];
    if (box) await this.#take(box);
    else this.state = state;
  }

  /** @param {string} path */
  url(path) {
    return `/api/benches/${this.now.id}/${path}`;
  }

  async #list() {
    const [start, { benches }] = await Promise.all([get("start"), get("benches")]);
    Object.assign(this, { start, benches });
  }

  /** @param {string} box */
  async #take(box) {
    const begun = this.benches.find((bench) => bench.boxes.includes(box));
    const state = begun ? await get(`benches/${begun.id}`) : null;
    localStorage.setItem(KEY, box);
    Object.assign(this, { box, state });
  }

  /** Another window was faster: show what it left, as far as that can be had. */
  async #lookAgain() {
    try {
      await this.#list();
      if (this.box) await this.#take(this.box);
    } catch {
      // the studio does not answer: what was refused is shown all the same
    }
  }

  /**
   * One after the other, so that the last answer shown is the last given.
   *
   * @param {string} part
   * @param {string} words
   * @param {() => Promise<void>} act
   */
  #do(part, words, act) {
    const done = this.#turn.then(async () => {
      this.#show({ doing: { part, words }, why: null });
      try {
        await act();
        this.#show({ doing: null, share: null });
        return true;
      } catch (error) {
        if (error.status === 409) await this.#lookAgain();
        this.#show({ doing: null, share: null, why: { part, words: error.message } });
        return false;
      }
    });
    this.#turn = done;
    return done;
  }

  /** @param {Partial<Bench>} what */
  #show(what) {
    Object.assign(this, what);
    if (!this.#left) this.changed();
  }
}
