/**
 * Check: a photo of the dabs against their targets, what is off, what to add, and what was done.
 */
import { h, morph } from "../../core/dom.js";
import { say } from "../../core/say.js";
import { styles } from "../../core/styles.js";
import { GREY_LSTAR } from "../../parts/grey.js";
import { cardPanel } from "./card.js";
import { Checks } from "./checks.js";
import { photoPanel } from "./photo.js";
import { puddlePart } from "./puddle.js";
import { seenPanel, stepsOf, THING_NAMES } from "./seen.js";
import { NOTHING_SAID } from "./terms.js";

await Promise.all([styles(import.meta.url, "view.css"), styles(import.meta.url, "puddle.css")]);

/** @type {View} */
export const view = {
  word: "Check",
  title: "Check",
  mount: (root, studio) => new Check(root, studio),
};

const RING = 20;
let terms = NOTHING_SAID; // stays said while the page is open

export class Check {
  #gone = new AbortController();

  /** @param {HTMLElement} root @param {Studio} studio */
  constructor(root, studio) {
    this.draw = this.draw.bind(this);
    const checks = new Checks(studio, this.draw);
    this.root = root;
    this.studio = studio;
    this.checks = checks;
    this.terms = terms;
    /**
     * How the dabs are found, where the painter said so.
     *
     * @type {"card" | "pointed" | null}
     */
    this.said = null;
    /** @type {string | null} */
    this.hole = null;
    /** @type {Thing} */
    this.thing = "dab";
    /** @type {Partial<Record<Thing, Place>>} */
    this.places = {};
    /**
     * What the painter said is not in the photo.
     *
     * @type {Set<Thing>}
     */
    this.missing = new Set();
    this.ring = RING;
    this.grey = String(GREY_LSTAR);
    this.reference = "";
    this.over = false;
    const { signal } = this.#gone;
    addEventListener("dragover", (event) => this.#drag(event, true), { signal });
    addEventListener("dragleave", (event) => this.#drag(event, false), { signal });
    root.addEventListener("drop", (event) => this.#drop(event), { signal });
    checks.load();
  }

  /** @param {State} state */
  update(state) {
    const { checks } = this;
    if (checks.state && !checks.doing && state.revision !== checks.state.revision) checks.load();
    this.draw();
  }

  leave() {
    this.#gone.abort();
    this.checks.leave();
    this.root.replaceChildren();
  }

  /**
   * Change what this window alone knows.
   *
   * @param {Partial<Check>} what
   */
  take(what) {
    Object.assign(this, what);
    this.draw();
  }

  /** @param {Partial<typeof NOTHING_SAID>} what */
  say(what) {
    terms = { ...terms, ...what };
    this.take({ terms });
  }

  /**
   * How wide a ring is, in the photo's pixels.
   *
   * @param {Extent} photo
   */
  diameter(photo) {
    return (this.ring / 1000) * Math.min(photo.width_px, photo.height_px);
  }

  /** How the dabs are found: as was said, else by the dab card where there is one. */
  get way() {
    const { card } = this.checks.now;
    return (card && this.said) ?? (card?.holds ? "card" : "pointed");
  }

  /** Whose dab is pointed to: as was said, else the chosen one. */
  get whose() {
    const here = [this.hole, this.studio.chosen].find((key) => this.studio.hole(key));
    return here ?? this.studio.state.holes[0]?.key ?? null;
  }

  get mayJudge() {
    return !this.checks.doing && this.whose !== null && (this.way === "card" || "dab" in this.places);
  }

  /**
   * Lay a photo on the table; where there is a dab card, look for it at once.
   *
   * @param {File} file
   */
  async lay(file) {
    if (!(await this.checks.lay(file))) return;
    this.take({ places: {}, missing: new Set(), thing: "dab", said: null, hole: null });
    if (this.way === "card" && !(await this.judge())) this.take({ said: "pointed" });
  }

  /** The step that is due: the first of dab, grey, white and black that is neither marked nor said to be missing. */
  get due() {
    return stepsOf(this).find((thing) => !(thing in this.places) && !this.missing.has(thing)) ?? null;
  }

  /**
   * Mark what was chosen, else what is due; a click never moves what is marked.
   *
   * @param {Place} place
   */
  pointedTo(place) {
    const thing = this.thing in this.places ? this.due : this.thing;
    if (!thing) return;
    this.place(thing, place);
    this.take({ thing: this.due ?? thing });
  }

  /**
   * Go on without a thing that does not lie there.
   *
   * @param {Thing} thing
   */
  goWithout(thing) {
    this.missing.add(thing);
    this.take({ thing: this.due ?? "dab" });
  }

  /**
   * Put a ring somewhere, or with null take it away.
   *
   * @param {Thing} thing
   * @param {Place | null} place
   */
  place(thing, place) {
    const { [thing]: _, ...rest } = this.places;
    this.take({ places: place ? { ...rest, [thing]: place } : rest, thing });
  }

  /**
   * Choose what is pointed to; by keyboard its ring lies in the middle at first.
   *
   * @param {Thing} thing
   * @param {boolean} byKey
   */
  pointTo(thing, byKey) {
    this.missing.delete(thing);
    this.take({ thing });
    const { photo } = this.checks.now;
    if (byKey && photo && !(thing in this.places)) this.place(thing, { x_px: photo.width_px / 2, y_px: photo.height_px / 2 });
    document.getElementById(`check-ring-${thing}`)?.focus();
  }

  async judge() {
    const pointed = this.way === "pointed";
    const words = pointed ? "Judging the dab …" : "Finding the dab card, judging every dab …";
    if (!(await this.checks.judge("seen", words, pointed ? this.#pointed() : { way: "card", ...this.terms }))) return false;
    const { judged } = this.checks.now;
    const { chosen } = this.studio;
    if (!chosen || !judged.includes(chosen)) this.studio.choose(judged[0]);
    const one = judged.length === 1 ? "One dab is judged." : `${judged.length} dabs are judged.`;
    say(one);
    this.open(this.studio.chosen);
    return true;
  }

  /**
   * Open a puddle, and bring it into sight.
   *
   * @param {string | null} hole
   */
  open(hole) {
    this.studio.choose(hole);
    document.getElementById(`puddle-${hole}`)?.scrollIntoView({ block: "nearest" });
  }

  #pointed() {
    const { photo } = this.checks.now;
    const diameter_px = photo ? this.diameter(photo) : 0;
    const places = Object.fromEntries(THING_NAMES.map((thing) =>
      [thing, this.places[thing] ? { ...this.places[thing], diameter_px } : null]));
    return {
      way: "pointed",
      hole: this.whose,
      ...this.terms,
      places,
      grey_lstar: Number(this.grey),
      reference_colour: places.reference ? this.reference : null,
    };
  }

  /** @param {DragEvent} event @param {boolean} over */
  #drag(event, over) {
    const within = !over && event.relatedTarget !== null;
    if (over !== this.over && !within) this.take({ over });
  }

  /** @param {DragEvent} event */
  #drop(event) {
    this.take({ over: false });
    const file = event.dataTransfer?.files[0];
    if (!file) return;
    event.preventDefault();
    event.stopPropagation();
    this.lay(file);
  }

  draw() {
    if (this.#gone.signal.aborted) return;
    const { checks } = this;
    morph(this.root,
      h("h1", { key: "h1", class: "unseen" }, "Check"),
      h("div", { key: "check", class: "check" },
        photoPanel(this),
        checks.state && seenPanel(this),
        h("section", { key: "puddles", class: "check-puddles", "aria-labelledby": "check-puddles" },
          h("h2", { id: "check-puddles", tabindex: -1 }, "The puddles"), checks.state && this.#puddles()),
        checks.state && cardPanel(this)));
  }

  #puddles() {
    const { holes } = this.studio.state;
    if (!holes.length) {
      return h("p", { key: "none", class: "panel" }, "No hole is punched yet. ",
        h("a", { href: `#/${this.studio.id}/look` }, "Punch some in Look"), ".");
    }
    return holes.map((hole) => {
      const puddle = this.checks.now.puddles.find((each) => each.hole === hole.key);
      return puddle && puddlePart(hole, puddle, this);
    });
  }
}
