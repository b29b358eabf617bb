/**
 * The open painting, as every view sees it: the `studio`.
 *
 *     studio.state                    what the server last said (STATE of the contract)
 *     studio.subscribe(fn)            fn(studio) after every change; returns the way out
 *     studio.change("move", {...})    do something; resolves to the new STATE, or null
 *     studio.undo(), studio.redo()
 *     studio.holdsBack(fn)            fn() must send what waits for the hand to rest; it is
 *                                     called before a step is taken back or the page goes
 *     studio.chosen, studio.choose(key)    the hole being looked at, shared by all views
 *     studio.hole(key)                that hole of the state, or null
 *     studio.url("card.png?ground=grey"), studio.ask("reading?x=...", signal)
 *     studio.refresh()                after something was put into the record, not by a change
 *     studio.sign                     { word: "saved" | "saving" | "not saved", why }
 *
 * The server holds the painting; nothing is kept here that a reload would lose.
 */
import { get, WINDOW } from "./api.js";
import { ChangeQueue } from "./queue.js";
import { say, tell } from "./say.js";
import { ask } from "../parts/dialog/dialog.js";

/** @typedef {import("./queue.js").Change} Change */

/**
 * Open a painting by its id. Throws a Refusal when there is none.
 *
 * @param {string} id
 */
export async function openStudio(id) {
  const base = `paintings/${id}`;
  const studio = new Studio(id, base, await get(base));
  studio.listen();
  return studio;
}

const AGAIN_MS = 3000;

/** Changes after which every mix is another; an undone step may be one. */
const OF_ALL_MIXES = new Set(["light", "box", "away", "options", "plan"]);

export class Studio {
  /** @type {Set<(studio: Studio) => void>} */
  #hearers = new Set();
  /** @type {Set<() => void>} */
  #senders = new Set();
  #queue;
  /** @type {EventSource | null} */
  #events = null;
  #open = new AbortController();
  /** Whether news came while changes were under way, and so was not followed yet. */
  #missed = false;

  /** @param {string} id @param {string} base @param {State} state */
  constructor(id, base, state) {
    this.id = id;
    this.base = base;
    this.state = state;
    /** @type {string | null} */
    this.chosen = state.holes[0]?.key ?? null;
    /** @type {Sign} */
    this.sign = { word: "saved", why: "" };
    this.#queue = new ChangeQueue({
      base,
      revision: () => this.state.revision,
      took: (taken) => this.#take(taken),
      sign: (word, why = "") => this.#signed({ word, why }),
      refused: (error) => tell(error.message),
      stale: whetherStill,
    });
  }

  /** @param {(studio: Studio) => void} hear */
  subscribe(hear) {
    this.#hearers.add(hear);
    return () => this.#hearers.delete(hear);
  }

  /**
   * `instead` names what this change makes needless if it still waits, as "move h1".
   *
   * @param {string} what
   * @param {Fields} [fields]
   * @param {string | null} [instead]
   */
  change(what, fields = {}, instead = null) {
    return this.#queue.add("changes", { do: what, ...fields, ...this.#onPhoto }, instead);
  }

  /**
   * Show another of the painting's photos, "" its own: places, light and crop are then that one's.
   *
   * @param {string} photo
   */
  async show(photo) {
    if (photo === this.state.shown) return;
    this.flush();
    this.#take(await get(withPhoto(this.base, photo)));
  }

  /** What is shown, as it goes with whatever is asked. */
  get #onPhoto() {
    return this.state.shown ? { photo: this.state.shown } : {};
  }

  /**
   * Take on a state that the server sent past a change: a photo was added.
   *
   * @param {State} state
   */
  take(state) {
    this.#take(state);
  }

  /** @param {() => void} send */
  holdsBack(send) {
    this.#senders.add(send);
    return () => this.#senders.delete(send);
  }

  /** Send all that waits for a hand to rest. */
  flush() {
    this.#senders.forEach((send) => send());
  }

  undo() {
    this.flush();
    if (this.state.undo) say(`Taken back: ${this.state.undo}`);
    return this.#queue.add("undo", this.#onPhoto);
  }

  redo() {
    this.flush();
    if (this.state.redo) say(`Done again: ${this.state.redo}`);
    return this.#queue.add("redo", this.#onPhoto);
  }

  /** @param {string | null} key */
  choose(key) {
    if (this.chosen === key) return;
    this.chosen = key;
    const photo = this.hole(key)?.photo;
    if (photo !== undefined && photo !== this.state.shown) this.show(photo);
    this.#tellAll();
  }

  /** @param {string | null | undefined} key */
  hole(key) {
    return this.state.holes.find((hole) => hole.key === key) ?? null;
  }

  /** @param {string} path */
  url(path) {
    return withPhoto(`/api/${this.base}/${path}`, this.state.shown);
  }

  /** @param {string} path @param {AbortSignal} [signal] */
  ask(path, signal) {
    return get(withPhoto(`${this.base}/${path}`, this.state.shown), signal);
  }

  /** Take on what was put into the painting's record without a change of this page. */
  refresh() {
    return this.#elsewhere({ revision: null, window: null });
  }

  /** Whether a change is under way after which every mix is another. */
  get findsAnew() {
    return this.#queue.isWaiting(({ path, fields }) => path !== "changes" || OF_ALL_MIXES.has(String(fields.do)));
  }

  get unsaved() {
    return this.#queue.waiting > 0;
  }

  /** Hear of changes made in other windows, while this one is seen. */
  listen() {
    const hear = () => (document.hidden ? this.#events?.close() : this.#hear());
    document.addEventListener("visibilitychange", hear, { signal: this.#open.signal });
    hear();
  }

  close() {
    this.flush();
    this.#open.abort();
    this.#events?.close();
    this.#hearers.clear();
  }

  #hear() {
    // a hidden window keeps no line open: browsers allow but six to one server
    this.#events?.close();
    this.#events = new EventSource(this.url("events"));
    this.#events.addEventListener("revision", (event) => this.#elsewhere(JSON.parse(event.data)));
    // after a break in the line, something may have been missed
    this.#events.addEventListener("open", () => this.#elsewhere({ revision: null, window: null }));
    this.#events.addEventListener("error", () => this.#hearAgain());
  }

  /** Where the server was started anew the line is refused until this browser has come in. */
  #hearAgain() {
    const given = () => !this.#open.signal.aborted && this.#events?.readyState === EventSource.CLOSED;
    if (given()) setTimeout(() => !document.hidden && given() && this.#hear(), AGAIN_MS);
  }

  /** @param {{ revision: number | null, window: string | null }} news @returns {Promise<void>} */
  async #elsewhere({ revision, window: who }) {
    if (who === WINDOW || revision === this.state.revision) return undefined;
    const before = this.state;
    const state = this.unsaved ? null : await get(withPhoto(this.base, before.shown)).catch(() => null);
    if (this.unsaved) this.#missed = true;
    if (!state || this.unsaved) return undefined;
    // what was asked for before a change of our own was answered may be older than that answer
    if (this.state !== before) return this.#elsewhere({ revision: null, window: who });
    if (state.revision === this.state.revision) return undefined;
    this.#take(state);
    if (who) say("Changed in another window; this one shows it now.");
    return undefined;
  }

  /** @param {State} state */
  #take(state) {
    const none = this.state.holes.length === 0;
    this.state = state;
    if (state.made) this.chosen = state.made;
    const lost = this.chosen ? !this.hole(this.chosen) : none;
    if (lost) this.chosen = state.holes.at(-1)?.key ?? null;
    this.#tellAll();
  }

  /** @param {Sign} sign */
  #signed(sign) {
    this.sign = sign;
    this.#tellAll();
    if (sign.word !== "saved" || !this.#missed) return;
    this.#missed = false;
    this.refresh();
  }

  #tellAll() {
    this.#hearers.forEach((hear) => hear(this));
  }
}

/**
 * A path with the photo that is shown; the painting's own goes without saying.
 *
 * @param {string} path @param {string} photo
 */
function withPhoto(path, photo) {
  if (!photo) return path;
  return `${path}${path.includes("?") ? "&" : "?"}photo=${encodeURIComponent(photo)}`;
}

/** @param {Change} item @param {number} more */
async function whetherStill(item, more) {
  const since = more ? `, nor ${more} more after it` : "";
  const answer = await ask({
    title: "Another window was faster",
    text: `This painting was changed in another window just now, and this page shows that
      change. Yours, “${wordsOf(item)}”, has not been made${since}. Make it on top of the other one?`,
    answers: [["make", "Make mine too"], ["leave", "Leave it as it is"]],
  });
  return answer === "make";
}

/**
 * What each change is called to the painter.
 *
 * @type {Record<string, string>}
 */
const WORDS = {
  punch: "punch a hole",
  punch_masses: "punch one hole for each mass",
  move: "move a hole",
  size: "size a hole",
  name: "name a hole",
  remove: "remove a hole",
  title: "change the title",
  light: "change the light",
  crop: "crop the photo",
  canvas: "change the canvas",
  box: "change the box",
  away: "change the tubes on the table",
  habits: "change the tubes of a mix",
  layer: "change a layer or its medium",
  remove_photo: "remove a photo",
  choose: "choose another mix",
  options: "change how you mix",
};

/** @param {Change} change */
function wordsOf({ path, fields }) {
  return WORDS[String(fields.do)] ?? path;
}
