/**
 * Tubes: from the printed card to a box that knows the painter's own tubes, on one page.
 */
import { find, h, morph } from "../../core/dom.js";
import { styles } from "../../core/styles.js";
import { Bench } from "./bench.js";
import { boxStep } from "./boxes.js";
import { cardStep } from "./card.js";
import { dabStep } from "./dabs.js";
import { Demonstrating, demonstrationStep } from "./demonstrations.js";
import { madeStep } from "./made.js";
import { nextStep } from "./next.js";
import { photoStep } from "./photos.js";
import { spotOf } from "./spot.js";

await Promise.all(["view.css", "dabs.css", "demonstrations.css"].map((sheet) => styles(import.meta.url, sheet)));

/** @type {View} */
export const view = {
  word: "Tubes",
  title: "Tubes",
  mount: (root, studio) => new Tubes(root, studio),
};

const REST_MS = 500;

export class Tubes {
  #gone = new AbortController();
  /** @type {number | null} */
  #asked = null;
  #rest = 0;

  /** @param {HTMLElement} root @param {Studio} studio */
  constructor(root, studio) {
    const bench = new Bench(() => this.#draw());
    this.root = root;
    this.studio = studio;
    this.bench = bench;
    this.demonstrating = new Demonstrating(() => this.#draw());
    /** @type {number | null} */
    this.dab = null;
    /** @type {number | null} */
    this.page = null;
    /** @type {Spot | null} */
    this.pointing = null;
    /** @type {{ dabs: Advice["dabs"], why?: string } | null} */
    this.advice = null;
    this.over = false;
    const { signal } = this.#gone;
    addEventListener("dragover", (event) => this.#drag(event, true), { signal });
    addEventListener("dragleave", (event) => this.#drag(event, false), { signal });
    root.addEventListener("drop", (event) => this.#drop(event), { signal });
    bench.open(studio.state.box.name);
  }

  /** @param {State} state */
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

  /** @param {number} page */
  turn(page) {
    this.endPointing();
    this.#show({ page });
  }

  /**
   * Open a dab, or close the one that is open with null; `seek` brings its row into sight.
   *
   * @param {number | null} dab
   */
  open(dab, seek = false) {
    this.endPointing();
    const page = (dab === null ? null : this.bench.now.dabs[dab]?.page) ?? this.page;
    this.#show({ dab, page });
    if (seek) document.getElementById(`dab-${dab}`)?.scrollIntoView({ block: "nearest" });
  }

  /** @param {Dab} dab */
  beginPointing(dab) {
    this.#show({ pointing: spotOf(dab), page: dab.page });
    this.root.querySelector(".bench-picture")?.scrollIntoView({ block: "nearest" });
    find(this.root, ".bench-ring")?.focus({ preventScroll: true });
  }

  /**
   * The ring was moved: shown at once, and kept when the hand rests.
   *
   * @param {Spot} pointing
   */
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

  /** @param {State} state */
  async #ask({ revision, holes }) {
    this.#asked = revision;
    if (!holes.length) return;
    const advice = await this.studio.ask("advice", this.#gone.signal).catch((error) => ({ dabs: [], why: error.message }));
    if (this.#asked === revision) this.#show({ advice });
  }

  /** @param {DragEvent} event @param {boolean} over */
  #drag(event, over) {
    const within = !over && event.relatedTarget !== null;
    if (over !== this.over && !within) this.#show({ over });
  }

  /** @param {DragEvent} event */
  #drop(event) {
    this.#show({ over: false });
    const files = [...(event.dataTransfer?.files ?? [])];
    if (!files.length) return;
    event.preventDefault();
    event.stopPropagation();
    files.forEach((file) => this.bench.send(file));
  }

  /** @param {Partial<Tubes>} what */
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
          boxStep(bench, this.studio),
          cardStep(bench),
          photoStep(bench, this.over)),
        this.photo && dabStep(this),
        h("div", { key: "end", class: ["bench-end", !this.photo && "waits"] }, !this.photo && dabStep(this), madeStep(this), nextStep(this)),
        demonstrationStep(this)));
  }
}
