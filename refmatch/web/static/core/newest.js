/**
 * Asking as often as the answers come, and never for what is old already.
 *
 * One question is under way at a time; of those that come meanwhile only the newest is
 * kept. So a slow machine shows fewer readings, but never late ones.
 */

/**
 * Return `ask(what)`, which calls `fetcher(what)` and hands the answer to `show(answer, what)`.
 * `most` is the most questions in a second. `ask.stop()` forgets what is under way.
 *
 * @template W, A
 * @param {(what: W) => Promise<A>} fetcher
 * @param {(answer: A, what: W) => void} show
 */
export function newest(fetcher, show, most = 30) {
  let busy = false;
  /** @type {{ what: W } | null} */
  let waiting = null;
  let last = 0;
  let era = 0;

  /** @param {W} what */
  async function run(what) {
    busy = true;
    const mine = era;
    last = performance.now();
    const answer = await fetcher(what).catch(() => null);
    if (answer && mine === era) show(answer, what);
    await pause(1000 / most - (performance.now() - last));
    busy = false;
    if (waiting) next(waiting.what);
  }

  /** @param {W} what */
  function next(what) {
    waiting = null;
    run(what);
  }

  /** @param {W} what */
  function ask(what) {
    waiting = { what };
    if (!busy) next(what);
  }
  ask.stop = () => {
    waiting = null;
    era += 1;
  };
  return ask;
}

/** @param {number} ms */
function pause(ms) {
  return ms > 0 ? new Promise((done) => setTimeout(done, ms)) : Promise.resolve();
}
