/**
 * Tubes: from the printed card to a box that knows the painter's own tubes, on one page.
 */
import { h, morph } from "../../core/dom.js";
import { styles } from "../../core/styles.js";
import { Bench } from "./bench.js";
import { boxStep } from "./boxes.js";
import { cardStep } from "./card.js";
import { dabStep } from "./dabs.js";
import { madeStep } from "./made.js";
import { nextStep } from "./next.js";
import { photoStep } from "./photos.js";
import { spotOf } from "./spot.js";

await Promise.all([styles(import.meta.url, "view.css"), styles(import.meta.url, "dabs.css")]);

export const view = {
  word: "Tubes",
  title: "Tubes",
  mount: (root, studio) => new Tubes(root, studio),
};

const REST_MS = 500;

class Tubes {
  #gone = new AbortController();
  #asked = null;
  #rest = 0;

  constructor(root, studio) {
    const bench = new Bench(() => this.#draw());
    Object.assign(this, { root, studio, bench, dab: null, page: null, pointing: null, advice: null, over: false });
    const { signal } = this.#gone;
    addEventListener("dragover", (event) => this.#drag(event, true), { signal });
    addEventListener("dragleave", (event) => this.#drag(event, false), { signal });
    root.addEventListener("drop", (event) => this.#drop(event), { signal });
    bench.open(studio.state.box.id);
  }

  update(state) {
    if (state.revision !== this.#asked) this.#ask(state);
    this.#draw();
  }

  leave() {
    this.#sendPoint();
    this.#gone.abort();
    this.bench.leave();
    this.root.replaceChildren();
  }

  /** The photo that is shown: of the page turned to, else the first there is. */
  get photo() {
    const photos = this.bench.state?.photos ?? [];
    return photos.find((photo) => photo.page === this.page) ?? photos[0] ?? null;
  }

  turn(page) {
    this.endPointing();
    this.#show({ page });
  }

  /** Open a dab, or close the one that is open with null; `seek` brings its row into sight. */
  open(dab, seek = false) {
    this.endPointing();
    const page = this.bench.state.dabs[dab]?.page ?? this.page;
    this.#show({ dab, page });
    if (seek) document.getElementById(`dab-${dab}`)?.scrollIntoView({ block: "nearest" });
  }

  beginPointing(dab) {
    this.#show({ pointing: spotOf(dab), page: dab.page });
    this.root.querySelector(".bench-picture")?.scrollIntoView({ block: "nearest" });
    this.root.querySelector(".bench-ring")?.focus({ preventScroll: true });
  }

  /** The ring was moved: shown at once, and kept when the hand rests. */
  point(pointing) {
    this.#show({ pointing });
    clearTimeout(this.#rest);
    this.#rest = setTimeout(() => this.#sendPoint(), REST_MS);
  }

  endPointing() {
    this.#sendPoint();
    this.#show({ pointing: null });
  }

  #sendPoint() {
    if (!this.#rest) return;
    clearTimeout(this.#rest);
    this.#rest = 0;
    if (this.pointing) this.bench.change("dabs", "point", { dab: this.dab, ...this.pointing });
  }

  async #ask({ revision, holes }) {
    this.#asked = revision;
    if (!holes.length) return;
    const advice = await this.studio.ask("advice", this.#gone.signal).catch((error) => ({ why: error.message }));
    if (this.#asked === revision) this.#show({ advice });
  }

  #drag(event, over) {
    const within = !over && event.relatedTarget !== null;
    if (over !== this.over && !within) this.#show({ over });
  }

  #drop(event) {
    this.#show({ over: false });
    const files = [...event.dataTransfer.files];
    if (!this.bench.state || !files.length) return;
    event.preventDefault();
    event.stopPropagation();
    files.forEach((file) => this.bench.send(file));
  }

  #show(what) {
    Object.assign(this, what);
    this.#draw();
  }

  #draw() {
    if (this.#gone.signal.aborted) return;
    const { bench } = this;
    morph(this.root,
      h("h1", { key: "h1", class: "unseen" }, "Tubes"),
      h("div", { key: "tubes", class: "bench" },
        h("div", { key: "begin", class: "bench-begin" },
          boxStep(bench),
          cardStep(bench),
          photoStep(bench, this.over)),
        dabStep(this),
        h("div", { key: "end", class: "bench-end" }, madeStep(this), nextStep(this))));
  }
}
