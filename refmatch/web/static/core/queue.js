/**
 * Changes wait in line, so that each goes out with the revision the one before it made.
 *
 * Nobody answering is no reason to lose a change: it waits and is tried again; so it does
 * where the server was started anew and this browser has yet to come in by the new link.
 * What the server will not do is dropped and told. A stale revision means that another
 * window was faster: its state is taken and the painter is asked whether the change is
 * still meant. It may also mean that this very change was made, and only the answer was
 * lost on its way: then it is done, and nobody is asked.
 */
import { post, Refusal, WINDOW } from "./api.js";

const AGAIN_MS = [500, 1000, 2000, 4000];
const SHUT_OUT = 403;

/**
 * A change in the line; `sent` once it has gone out.
 *
 * @typedef {object} Change
 * @property {string} path
 * @property {Fields} fields
 * @property {string | null} instead
 * @property {(state: State | null) => void} settled
 * @property {boolean} [sent]
 *
 * @typedef {object} QueueOptions
 * @property {string} base
 * @property {() => number} revision
 * @property {(state: State) => void} took
 * @property {(word: Sign["word"], why?: string) => void} sign
 * @property {(error: Refusal) => void} refused
 * @property {(item: Change, more: number) => Promise<boolean>} stale
 */

/** The queue of one painting. */
export class ChangeQueue {
  /** @type {Change[]} */
  #line = [];
  #running = false;

  /**
   * `base` is the path under /api; `revision()` the newest one known; `took(state)` is
   * called with each answer; `sign(word, why)` with "saving", "saved" or "not saved";
   * `refused(error)` with a plain no; `stale(item, more)` after a 409 was taken, with how
   * many wait behind it; it resolves to whether they are still meant.
   *
   * @param {QueueOptions} options
   */
  constructor({ base, revision, took, sign, refused, stale }) {
    this.base = base;
    this.revision = revision;
    this.took = took;
    this.sign = sign;
    this.refused = refused;
    this.stale = stale;
  }

  /** How many changes the server has not answered yet. */
  get waiting() {
    return this.#line.length;
  }

  /** @param {(change: Change) => boolean} which */
  isWaiting(which) {
    return this.#line.some(which);
  }

  /**
   * Add a change; resolves to the new state, or null when it was not made. One that waits
   * with the same `instead` and has not gone out yet is replaced.
   *
   * @param {string} path
   * @param {Fields} fields
   * @param {string | null} [instead]
   */
  add(path, fields, instead = null) {
    return new Promise((settled) => {
      const item = { path, fields, instead, settled };
      const twin = this.#line.findIndex((old) => instead && old.instead === instead && !old.sent);
      if (twin >= 0) this.#line.splice(twin, 1, item)[0].settled(null);
      else this.#line.push(item);
      if (!this.#running) this.#run();
    });
  }

  async #run() {
    this.#running = true;
    try {
      while (this.#line.length) {
        this.sign("saving");
        await this.#send(this.#line[0]);
      }
    } finally {
      this.#running = false; // whatever went wrong on the page, the next change goes out
    }
    this.sign("saved");
  }

  /** @param {Change} item */
  async #send(item, tries = 0) {
    item.sent = true;
    const revision = this.revision();
    try {
      const body = { revision, ...item.fields };
      this.#finish(item, await post(`${this.base}/${item.path}`, body));
    } catch (error) {
      if (!(error instanceof Refusal)) throw error;
      if (tries && error.by === WINDOW && error.state?.revision === revision + 1) {
        return this.#finish(item, error.state);
      }
      await this.#failed(error, item, tries);
    }
  }

  /** @param {Change} item @param {State | null} state */
  #finish(item, state) {
    this.#line.shift();
    if (state) this.took(state);
    item.settled(state);
  }

  /** @param {Refusal} error @param {Change} item @param {number} tries */
  async #failed(error, item, tries) {
    if (error.status === 409 && error.state) return this.#passed(error.state, item);
    if (error.status > 0 && error.status < 500 && error.status !== SHUT_OUT) {
      this.refused(error);
      return this.#finish(item, null);
    }
    this.sign("not saved", error.message);
    await new Promise((done) => setTimeout(done, AGAIN_MS[Math.min(tries, AGAIN_MS.length - 1)]));
    return this.#send(item, tries + 1);
  }

  /** @param {State} state @param {Change} item */
  async #passed(state, item) {
    this.took(state);
    this.sign("not saved", "Another window was faster.");
    if (await this.stale(item, this.#line.length - 1)) {
      this.sign("saving");
      return this.#send(item);
    }
    return this.#line.splice(0).forEach((dropped) => dropped.settled(null));
  }
}
