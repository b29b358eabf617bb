/**
 * Plan: the whole painting before the first puddle. One key for all values, the tubes to lay
 * out, few puddles and what is drawn from them, strings, and how much of each.
 *
 * The server reckons it for the painting as it stands; only the switch of the key and the
 * number of tubes are this view's own, until the painting is mixed by the plan.
 */
import { h, morph } from "../../core/dom.js";
import { styles } from "../../core/styles.js";
import { doubts } from "../../parts/slip/said.js";
import { askingPanel } from "./asking.js";
import { keyPanel } from "./key.js";
import { palettePanel } from "./palette.js";
import { reachPanel } from "./reach.js";
import { stringsPanel } from "./strings.js";
import { workPanel } from "./work.js";

await styles(import.meta.url, "view.css");

/** @type {View} */
export const view = {
  word: "Plan",
  title: "Plan",
  mount: (root, studio) => new Plan(root, studio),
};

const KEY = "refmatch-plan-key";

export class Plan {
  /** @type {{ revision: number, abort: AbortController | null } | null} */
  #asking = null;

  /** @param {HTMLElement} root @param {Studio} studio */
  constructor(root, studio) {
    const own = studio.state?.plan;
    const keyed = own ? own.keyed : localStorage.getItem(KEY) !== "off";
    this.root = root;
    this.studio = studio;
    this.keyed = keyed;
    /** @type {number | null} */
    this.tubes = own?.tubes ?? null;
    /** @type {PlanMade | null} */
    this.found = null;
    this.why = "";
  }

  /** @param {State} state */
  update(state) {
    if (state.revision !== this.#asking?.revision) this.#ask();
    this.#draw();
  }

  leave() {
    this.#asking?.abort?.abort();
    this.root.replaceChildren();
  }

  get isPlanning() {
    return Boolean(this.#asking?.abort);
  }

  /**
   * Switch the key on or off.
   *
   * @param {boolean} keyed
   */
  switchKey(keyed) {
    localStorage.setItem(KEY, keyed ? "on" : "off");
    this.keyed = keyed;
    this.#ask();
    this.#draw();
  }

  /**
   * Ask for the best palette of so many tubes; null for the fewest that do.
   *
   * @param {number | null} tubes
   */
  takeTubes(tubes) {
    this.tubes = tubes;
    this.#ask();
    this.#draw();
  }

  /** Have all slips mixed by the plan that is shown. */
  take() {
    const { keyed, tubes } = this;
    return this.studio.change("plan", tubes === null ? { keyed } : { keyed, tubes });
  }

  /** Ask for the plan as the painting is now; what was asked before is called off. */
  async #ask() {
    this.#asking?.abort?.abort();
    const { revision, holes } = this.studio.state;
    if (!holes.length) {
      Object.assign(this, { found: null, why: "" });
      this.#asking = { revision, abort: null };
      return;
    }
    const abort = new AbortController();
    this.#asking = { revision, abort };
    const tubes = this.tubes === null ? "" : `&tubes=${this.tubes}`;
    try {
      const found = await this.studio.ask(`plan?key=${this.keyed ? "on" : "off"}${tubes}`, abort.signal);
      Object.assign(this, { found, why: "" });
    } catch (error) {
      if (error.name === "AbortError") return;
      Object.assign(this, { found: null, why: error.message });
    }
    this.#asking = { revision, abort: null };
    this.#draw();
  }

  #draw() {
    const { found, studio } = this;
    morph(this.root, h("div", { class: "plan" },
      h("div", { key: "left", class: "plan-column" },
        askingPanel(this),
        found && keyPanel(found, studio),
        found && palettePanel(found, studio)),
      h("div", { key: "right", class: "plan-column" },
        found && workPanel(found),
        found && stringsPanel(found),
        found && reachPanel(found),
        found && h("section", { key: "doubts", class: "panel plan-panel", "aria-label": "To bear in mind" }, doubts(studio.state.flags)))));
  }
}
