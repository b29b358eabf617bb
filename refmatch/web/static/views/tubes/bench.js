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
  #turn = Promise.resolve();
  #left = false;

  /** `changed()` is called whenever there is something new to show. */
  constructor(changed) {
    Object.assign(this, { changed, start: null, benches: [], box: null, state: null, doing: null, share: null, why: null });
  }

  /** Fetch what there is; `now` is the box of the painting, taken where none was chosen before. */
  open(now) {
    return this.#do("box", "", async () => {
      await this.#list();
      const known = (id) => this.start.boxes.some((box) => box.id === id);
      const chosen = [localStorage.getItem(KEY), this.benches[0]?.boxes[0], now].find(known);
      await this.#take(chosen ?? this.start.boxes[0].id);
    });
  }

  leave() {
    this.#left = true;
  }

  /** Look at another box; resolves when its making, if it was begun, is shown. */
  choose(box) {
    return this.#do("box", "", () => this.#take(box));
  }

  /** A box was added to the shelf: list it, and choose it. */
  added(box) {
    return this.#do("box", "", async () => {
      await this.#list();
      await this.#take(box);
    });
  }

  /** Lay out the card; a box that has one keeps what was done with it. */
  layCard(paper, grey_lstar) {
    return this.#do("card", "Laying out the card …", async () => {
      const path = this.state ? `benches/${this.state.id}/card` : "benches";
      this.state = await post(path, { box: this.box, paper, grey_lstar });
      await this.#list();
    });
  }

  send(file) {
    const sent = (share) => this.#show(share < 1
      ? { share }
      : { share: null, doing: { part: "photos", words: `Finding the card in “${file.name}”, reading every dab …` } });
    return this.#do("photos", `Sending “${file.name}” …`, async () => {
      const how = { most: this.start.most_photo_bytes, sent };
      this.state = await sendPhoto(`benches/${this.state.id}/photos`, file, how);
      say(`“${file.name}” is read.`);
    });
  }

  /** Mend a dab, put a photo away, say the light: see the server's list of changes. */
  change(part, what, fields) {
    return this.#do(part, "", async () => {
      this.state = await post(`benches/${this.state.id}/changes`, { do: what, ...fields });
    });
  }

  make(name) {
    return this.#do("made", "Fitting the camera and the paints together …", async () => {
      this.state = await post(`benches/${this.state.id}/box`, { name });
      await this.#list();
      say(`The box “${name}” is made.`);
    });
  }

  url(path) {
    return `/api/benches/${this.state.id}/${path}`;
  }

  async #list() {
    const [start, { benches }] = await Promise.all([get("start"), get("benches")]);
    Object.assign(this, { start, benches });
  }

  async #take(box) {
    const begun = this.benches.find((bench) => bench.boxes.includes(box));
    const state = begun ? await get(`benches/${begun.id}`) : null;
    localStorage.setItem(KEY, box);
    Object.assign(this, { box, state });
  }

  /** One after the other, so that the last answer shown is the last given. */
  #do(part, words, act) {
    this.#turn = this.#turn.then(async () => {
      this.#show({ doing: { part, words }, why: null });
      try {
        await act();
        this.#show({ doing: null, share: null });
        return true;
      } catch (error) {
        this.#show({ doing: null, share: null, why: { part, words: error.message } });
        return false;
      }
    });
    return this.#turn;
  }

  #show(what) {
    Object.assign(this, what);
    if (!this.#left) this.changed();
  }
}
