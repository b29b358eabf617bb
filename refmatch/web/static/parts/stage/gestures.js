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
 *     pan(dx, dy)   zoom(factor, point)   wheel(steps, point, event) -> false to let it scroll
 */

const STILL_PX = 4;
const REST_MS = 380;

/** The hands on one element, until `leave()`. */
export class Gestures {
  #down = new Map();
  #act = null;
  #timer = 0;
  #ears = new AbortController();

  constructor(element, on) {
    Object.assign(this, { element, on });
    const { signal } = this.#ears;
    const hear = (name, act) => element.addEventListener(name, act, { passive: false, signal });
    hear("pointerdown", (event) => this.#press(event));
    hear("pointermove", (event) => this.#move(event));
    hear("pointerup", (event) => this.#lift(event));
    hear("pointercancel", (event) => this.#stop(event.pointerId));
    hear("pointerleave", (event) => event.pointerType !== "touch" && on.hover(null));
    hear("wheel", (event) => this.#wheel(event));
    hear("touchmove", (event) => this.#act?.kind === "aim" && event.preventDefault());
    hear("contextmenu", (event) => this.#act && event.preventDefault());
    // before anyone else, so that Escape means the drag while there is one
    addEventListener("keydown", (event) => this.#escape(event), { capture: true, signal });
  }

  leave() {
    clearTimeout(this.#timer);
    this.#ears.abort();
  }

  #at(event) {
    const box = this.element.getBoundingClientRect();
    return { x: event.clientX - box.left, y: event.clientY - box.top };
  }

  #press(event) {
    if (event.button > 0 || event.target.closest("[data-apart]")) return;
    const point = this.#at(event);
    this.#down.set(event.pointerId, point);
    if (this.#down.size === 2) this.#pinch();
    if (this.#down.size > 1) return;
    this.element.setPointerCapture(event.pointerId);
    const held = this.on.grab(event.target, point);
    this.#act = { kind: held ? "drag" : "press", held, start: point, last: point, moved: false };
    if (!held && event.pointerType === "touch") {
      this.#timer = setTimeout(() => this.#aim(), REST_MS);
    }
  }

  #aim() {
    this.#act.kind = "aim";
    this.on.aim(this.#act.last);
  }

  #pinch() {
    clearTimeout(this.#timer);
    this.#act?.held?.cancel();
    if (this.#act?.kind === "aim") this.on.aim(null);
    this.#act = { kind: "pinch", ...this.#spread() };
  }

  #spread() {
    const [a, b] = [...this.#down.values()];
    return { apart: Math.hypot(a.x - b.x, a.y - b.y), x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
  }

  #move(event) {
    const point = this.#at(event);
    if (!this.#down.has(event.pointerId)) {
      if (event.pointerType !== "touch") this.on.hover(point);
      return;
    }
    this.#down.set(event.pointerId, point);
    if (this.#act?.kind === "pinch") this.#pinched();
    else if (this.#act) this.#carry(this.#act, point);
  }

  #carry(act, point) {
    act.moved ||= Math.hypot(point.x - act.start.x, point.y - act.start.y) > STILL_PX;
    if (!act.moved) return;
    if (act.kind === "press") {
      clearTimeout(this.#timer);
      act.kind = "pan";
    }
    if (act.kind === "pan") this.on.pan(point.x - act.last.x, point.y - act.last.y);
    if (act.kind === "drag") act.held.move(point);
    if (act.kind === "aim") this.on.aim(point);
    act.last = point;
  }

  #pinched() {
    if (this.#down.size < 2) return;
    const now = this.#spread();
    this.on.pan(now.x - this.#act.x, now.y - this.#act.y);
    this.on.zoom(now.apart / this.#act.apart, now);
    Object.assign(this.#act, now);
  }

  #lift(event) {
    if (!this.#down.delete(event.pointerId) || !this.#act) return;
    clearTimeout(this.#timer);
    const { kind, held, moved } = this.#act;
    this.#act = null;
    if (kind === "drag" && moved) held.drop();
    if (kind === "drag" && !moved) held.cancel();
    if (kind === "aim") this.on.aim(null);
    if (kind === "press" || kind === "aim") this.on.tap(this.#at(event), event);
  }

  #stop(pointerId) {
    clearTimeout(this.#timer);
    if (pointerId === undefined) this.#down.clear();
    else this.#down.delete(pointerId);
    this.#act?.held?.cancel();
    if (this.#act?.kind === "aim") this.on.aim(null);
    this.#act = null;
  }

  #escape(event) {
    if (event.key !== "Escape" || !this.#act) return;
    event.stopPropagation();
    this.#stop();
  }

  #wheel(event) {
    const lines = event.deltaMode === 1 ? 16 : 1;
    const steps = (-event.deltaY * lines) / (event.ctrlKey ? 20 : 100);
    const held = Math.max(-2, Math.min(2, steps));
    if (this.on.wheel(held, this.#at(event), event) !== false) event.preventDefault();
  }
}
