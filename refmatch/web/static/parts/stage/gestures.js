/**
 * What hands do on the photo, whatever they hold: mouse, pen or fingers.
 *
 * One finger taps, or rests and then aims (lifting it is the tap); two pinch. A press that
 * moves drags what it `grab`bed, or pans. Escape calls a drag off. All points are
 * `{x, y}` in CSS pixels of the element.
 *
 *     hover(point | null)   the pointer moves without pressing, or has gone
 *     aim(point | null)     a resting finger moves, or has gone
 *     tap(point)            a press that did not move
 *     grab(target, point)   -> { move(point), drop(), cancel() } or null for panning
 *     waits(target)         whether a finger must rest on it first: a swipe that begins there pans
 *     pan(dx, dy)   zoom(factor, point)   wheel(steps, point, event) -> false to let it scroll
 */

/**
 * @typedef {object} Hands
 * @property {(point: Point | null) => void} hover
 * @property {(point: Point | null) => void} aim
 * @property {(point: Point) => void} tap
 * @property {(target: Element, point: Point) => Held | null} grab
 * @property {(target: Element) => boolean} waits
 * @property {(dx: number, dy: number) => void} pan
 * @property {(factor: number, point: Point) => void} zoom
 * @property {(steps: number, point: Point, event: WheelEvent) => boolean} wheel
 *
 * What a press is by now.
 * @typedef {object} Press
 * @property {"press" | "drag" | "pan" | "aim"} kind
 * @property {Held | null} held
 * @property {Element | null} under what a rest would grab
 * @property {Point} start
 * @property {Point} last
 * @property {boolean} moved
 *
 * Two fingers: how far apart, and their middle.
 * @typedef {{ kind: "pinch", apart: number, x: number, y: number }} Pinch
 */

const STILL_PX = 4;
const REST_MS = 380;

/** The hands on one element, until `leave()`. */
export class Gestures {
  /** @type {Map<number, Point>} */
  #down = new Map();
  /** @type {Press | Pinch | null} */
  #act = null;
  #timer = 0;
  #ears = new AbortController();

  /** @param {HTMLElement} element @param {Hands} on */
  constructor(element, on) {
    this.element = element;
    this.on = on;
    const { signal } = this.#ears;
    /** @param {string} name @param {(event: any) => unknown} act */
    const hear = (name, act) => element.addEventListener(name, act, { passive: false, signal });
    hear("pointerdown", (event) => this.#press(event));
    hear("pointermove", (event) => this.#move(event));
    hear("pointerup", (event) => this.#lift(event));
    hear("pointercancel", (event) => this.#stop(event.pointerId));
    hear("pointerleave", (event) => event.pointerType !== "touch" && on.hover(null));
    hear("wheel", (event) => this.#wheel(event));
    hear("touchmove", (event) => this.#isHeld && event.preventDefault());
    hear("contextmenu", (event) => this.#act && event.preventDefault());
    // before anyone else, so that Escape means the drag while there is one
    addEventListener("keydown", (event) => this.#escape(event), { capture: true, signal });
  }

  leave() {
    clearTimeout(this.#timer);
    this.#ears.abort();
  }

  /** @param {MouseEvent} event */
  #at(event) {
    const box = this.element.getBoundingClientRect();
    return { x: event.clientX - box.left, y: event.clientY - box.top };
  }

  /** @param {PointerEvent} event */
  #press(event) {
    const target = /** @type {Element} */ (event.target);
    if (event.button > 0 || target.closest("[data-apart]")) return;
    const point = this.#at(event);
    this.#down.set(event.pointerId, point);
    if (this.#down.size === 2) this.#pinch();
    if (this.#down.size > 1) return;
    this.element.setPointerCapture(event.pointerId);
    const waits = event.pointerType === "touch" && this.on.waits(target);
    const held = waits ? null : this.on.grab(target, point);
    const under = waits ? target : null;
    this.#act = { kind: held ? "drag" : "press", held, under, start: point, last: point, moved: false };
    if (!held && event.pointerType === "touch") {
      this.#timer = setTimeout(() => this.#rest(), REST_MS);
    }
  }

  /** Whether a finger holds something, so that the page must not scroll under it. */
  get #isHeld() {
    return this.#act?.kind === "aim" || this.#act?.kind === "drag";
  }

  #rest() {
    if (!this.#act || this.#act.kind === "pinch") return;
    if (this.#act.under) this.#act.held = this.on.grab(this.#act.under, this.#act.last);
    if (this.#act.held) {
      this.#act.kind = "drag";
      return;
    }
    this.#act.kind = "aim";
    this.on.aim(this.#act.last);
  }

  #pinch() {
    clearTimeout(this.#timer);
    this.#callOff();
    this.#act = { kind: "pinch", ...this.#spread() };
  }

  #spread() {
    const [a, b] = [...this.#down.values()];
    return { apart: Math.hypot(a.x - b.x, a.y - b.y), x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
  }

  /** @param {PointerEvent} event */
  #move(event) {
    const point = this.#at(event);
    if (!this.#down.has(event.pointerId)) {
      if (event.pointerType !== "touch") this.on.hover(point);
      return;
    }
    this.#down.set(event.pointerId, point);
    if (this.#act?.kind === "pinch") this.#pinched(this.#act);
    else if (this.#act) this.#carry(this.#act, point);
  }

  /** @param {Press} act @param {Point} point */
  #carry(act, point) {
    act.moved ||= Math.hypot(point.x - act.start.x, point.y - act.start.y) > STILL_PX;
    if (!act.moved) return;
    if (act.kind === "press") {
      clearTimeout(this.#timer);
      act.kind = "pan";
    }
    if (act.kind === "pan") this.on.pan(point.x - act.last.x, point.y - act.last.y);
    if (act.kind === "drag") act.held?.move(point);
    if (act.kind === "aim") this.on.aim(point);
    act.last = point;
  }

  /** @param {Pinch} act */
  #pinched(act) {
    if (this.#down.size < 2) return;
    const now = this.#spread();
    this.on.pan(now.x - act.x, now.y - act.y);
    this.on.zoom(now.apart / act.apart, now);
    Object.assign(act, now);
  }

  /** @param {PointerEvent} event */
  #lift(event) {
    if (!this.#down.delete(event.pointerId) || !this.#act) return;
    clearTimeout(this.#timer);
    const act = this.#act;
    this.#act = null;
    if (act.kind === "pinch") return;
    const { kind, under, moved } = act;
    const held = act.held ?? (kind === "press" && under ? this.on.grab(under, act.last) : null); // a tap chooses
    if (kind === "drag" && moved) held?.drop();
    if (kind !== "pan" && held && !(kind === "drag" && moved)) held.cancel();
    if (kind === "aim") this.on.aim(null);
    if (!held && (kind === "press" || kind === "aim")) this.on.tap(this.#at(event));
  }

  /** @param {number} [pointerId] */
  #stop(pointerId) {
    clearTimeout(this.#timer);
    if (pointerId === undefined) this.#down.clear();
    else this.#down.delete(pointerId);
    this.#callOff();
    this.#act = null;
  }

  #callOff() {
    if (!this.#act || this.#act.kind === "pinch") return;
    this.#act.held?.cancel();
    if (this.#act.kind === "aim") this.on.aim(null);
  }

  /** @param {KeyboardEvent} event */
  #escape(event) {
    if (event.key !== "Escape" || !this.#act) return;
    event.stopPropagation();
    this.#stop();
  }

  /** @param {WheelEvent} event */
  #wheel(event) {
    const lines = event.deltaMode === 1 ? 16 : 1;
    const steps = (-event.deltaY * lines) / (event.ctrlKey ? 20 : 100);
    const held = Math.max(-2, Math.min(2, steps));
    if (this.on.wheel(held, this.#at(event), event) !== false) event.preventDefault();
  }
}
