/**
 * Changes wait in line, so that each goes out with the revision the one before it made.
 *
 * Nobody answering is no reason to lose a change: it waits and is tried again. What the
 * server will not do is dropped and told. A stale revision means that another window was
 * faster: its state is taken and the painter is asked whether the change is still meant.
 */
import { post } from "./api.js";

const AGAIN_MS = [500, 1000, 2000, 4000];

/**
 * Return the queue of one painting.
 *
 * `base` is the path under /api; `revision()` the newest one known; `took(state)` is called
 * with each answer; `sign(word)` with "saving", "saved" or "not saved"; `refused(error)`
 * with a plain no; `stale(state, item)` with a 409, and resolves to whether to go on.
 */
export function changeQueue({ base, revision, took, sign, refused, stale }) {
  const line = [];
  let running = false;

  /** Add a change. One waiting with the same `instead` has not gone out yet and is replaced. */
  function add(path, fields, instead = null) {
    return new Promise((settled) => {
      const item = { path, fields, instead, settled };
      const twin = instead ? line.findIndex((old, i) => old.instead === instead && !old.sent) : -1;
      if (twin >= 0) line.splice(twin, 1, item)[0].settled(null);
      else line.push(item);
      if (!running) run();
    });
  }

  async function run() {
    running = true;
    while (line.length) {
      sign("saving");
      await send(line[0]);
    }
    running = false;
    sign("saved");
  }

  async function send(item, tries = 0) {
    item.sent = true;
    try {
      const state = await post(`${base}/${item.path}`, { revision: revision(), ...item.fields });
      finish(state, item);
    } catch (error) {
      await failed(error, item, tries);
    }
  }

  function finish(state, item) {
    line.shift();
    if (state) took(state);
    item.settled(state);
  }

  async function failed(error, item, tries) {
    if (error.status === 409 && error.state) return passed(error.state, item);
    if (error.status > 0 && error.status < 500) {
      refused(error);
      return finish(null, item);
    }
    sign("not saved", error.message);
    await new Promise((done) => setTimeout(done, AGAIN_MS[Math.min(tries, AGAIN_MS.length - 1)]));
    return send(item, tries + 1);
  }

  async function passed(state, item) {
    took(state);
    if (await stale(state, item)) return send(item);
    line.splice(0).forEach((dropped) => dropped.settled(null));
    return undefined;
  }

  return { add, get waiting() { return line.length; } };
}
