/**
 * Talking with the server: JSON both ways, and one sentence for the painter on failure.
 *
 * Only this module knows how a request is made. A failure is always a `Refusal`, whether
 * the server said no (`status` above 0) or nobody answered (`status` 0).
 */

/** Who this window is, so that it knows its own changes when the server tells of them. */
export const WINDOW = crypto.getRandomValues(new Uint32Array(2)).join("-");

/**
 * The server's no. `message` is a sentence for the painter. With a 409 comes the `state` as
 * it is now, and `by`, the window that made it.
 */
export class Refusal extends Error {
  /** @param {number} status @param {string} message @param {State} [state] @param {string} [by] */
  constructor(status, message, state, by) {
    super(message);
    this.status = status;
    this.state = state;
    this.by = by;
  }
}

/**
 * GET a path under /api and return its JSON. `signal` may call it off.
 *
 * @param {string} path
 * @param {AbortSignal} [signal]
 */
export function get(path, signal) {
  return request(path, { signal });
}

/**
 * POST a plain object (as JSON), a file (as bytes) or nothing, and return the JSON answer.
 *
 * @param {string} path
 * @param {object | Blob | null} [body]
 */
export function post(path, body = null) {
  if (body === null || body instanceof Blob) return request(path, { method: "POST", body });
  const headers = { "Content-Type": "application/json" };
  // a change outlives the page that made it
  return request(path, { method: "POST", body: JSON.stringify(body), headers, keepalive: true });
}

/** @param {string} path @param {RequestInit} options */
async function request(path, options) {
  const headers = { "X-Refmatch-Window": WINDOW, ...options.headers };
  const answer = await fetch(`/api/${path}`, { ...options, headers }).catch((error) => {
    if (error.name === "AbortError") throw error;
    throw new Refusal(0, "The studio does not answer; see that it still runs.");
  });
  const said = await answer.json().catch(() => ({}));
  if (answer.ok) return said;
  const why = said.error ?? `The studio said ${answer.status}.`;
  throw new Refusal(answer.status, why, said.state, said.by);
}
