/**
 * Print: the mixing sheet page by page as it will come out of the printer, and the card.
 */
import { h, morph } from "../../core/dom.js";
import { styles } from "../../core/styles.js";
import { doubts } from "../../parts/slip/said.js";
import { cardPanel } from "./card.js";
import { finderPanel, NO_FINDER } from "./finder.js";
import { pages } from "./pages.js";

await styles(import.meta.url, "view.css");

/** @type {View} */
export const view = {
  word: "Print",
  title: "Print",
  mount: (root, studio) => new Print(root, studio),
};

const KEY = "refmatch-paper";
const PLANNED = "refmatch-plan-printed";
const PAPERS = { a4: "A4", letter: "Letter" };
const PAGES = { all: "All of it", easel: "Cover and easel page", slips: "All but the easel page" };
const SLIPS = { full: "Full, up to two a page", compact: "Small, up to four a page, a third of the ink" };
const GRIDS = { "": "No", thirds: "Yes, with thirds", cm: "Yes, in centimetres", in: "Yes, in inches" };

export class Print {
  /** @type {{ revision: number, abort: AbortController } | null} */
  #asking = null;

  /** @param {HTMLElement} root @param {Studio} studio */
  constructor(root, studio) {
    const kept = localStorage.getItem(KEY) ?? "";
    const paper = kept in PAPERS ? kept : "a4";
    const planned = localStorage.getItem(PLANNED) === "yes";
    this.root = root;
    this.studio = studio;
    this.paper = paper;
    this.planned = planned;
    /** Which pages, how the slips look, and the squares to transfer the drawing by. */
    this.pages = "all";
    this.slips = "full";
    this.grid = "";
    this.finder = NO_FINDER;
    /** @type {SheetMade | null} */
    this.sheet = null;
    this.page = 1;
    this.ground = "grey";
    this.why = "";
  }

  /** @param {State} state */
  update(state) {
    if (state.revision !== this.#asking?.revision) this.#ask();
    this.#draw();
  }

  leave() {
    this.#asking?.abort.abort();
    this.root.replaceChildren();
  }

  /** What is asked of the sheet, for its address; the key is as the plan's own switch has it. */
  get asked() {
    const plan = localStorage.getItem("refmatch-plan-key") === "off" ? "as-shot" : "keyed";
    const { holes, plan: own } = this.studio.state;
    const shape = `&pages=${this.pages}&slips=${this.slips}&grid=${this.grid}`;
    return `paper=${this.paper}${holes.length ? shape : ""}${this.planned && holes.length && !own ? `&plan=${plan}` : ""}`;
  }

  /** Ask for the sheet as the painting is now; what was asked before is called off. */
  async #ask() {
    this.#asking?.abort.abort();
    const abort = new AbortController();
    this.#asking = { abort, revision: this.studio.state.revision };
    try {
      const sheet = await this.studio.ask(`sheet?${this.asked}`, abort.signal);
      Object.assign(this, { sheet, why: "", page: Math.min(this.page, sheet.pages) });
    } catch (error) {
      if (error.name === "AbortError") return;
      Object.assign(this, { sheet: null, why: error.message });
    }
    this.#draw();
  }

  #draw() {
    morph(this.root, h("div", { class: "print" },
      h("section", { class: "print-pages", "aria-label": "Preview" }, pages(this)),
      h("div", { class: "print-side" },
        this.#sheetPanel(),
        cardPanel(this.studio, this.ground, (ground) => this.#set({ ground })),
        finderPanel(this))));
  }

  #sheetPanel() {
    const { state } = this.studio;
    const told = state.holes.length === 1 ? "one colour" : `${state.holes.length} colours`;
    return h("section", { class: "panel print-sheet", "aria-labelledby": "print-title" },
      h("h1", { id: "print-title" }, "The mixing sheet"),
      state.holes.length > 0
        ? h("p", null, this.#words(told))
        : h("p", null, "No hole is punched yet, so the sheet has no slip. ",
          h("a", { href: `#/${this.studio.id}/look` }, "Punch some in Look"), "."),
      this.#choice("paper", "Paper", PAPERS),
      state.holes.length > 0 && [
        this.#choice("pages", "Pages", PAGES),
        this.pages !== "easel" && this.#choice("slips", "Slips", SLIPS),
        this.pages === "all" && this.#drawing(),
        this.#plan(),
      ],
      h("a", {
        class: "button strong download",
        href: this.studio.url(`sheet.pdf?${this.asked}`),
        download: "",
      }, "Download the sheet (PDF)"),
      h("p", { class: "small" },
        "Print at 100 %, not fitted to the page: the card and the photo then agree. ",
        "Judge by the dab on the card's rim; a printer's colours are only so good."),
      state.holes.length > 0 && doubts(state.flags));
  }

  /** @param {string} told */
  #words(told) {
    if (this.pages === "easel") return "A cover, and a page for the easel: all puddles in the order of work, to be read at arm’s length.";
    const easel = this.pages === "all" ? "a page for the easel with all puddles, " : "";
    return `A cover, ${easel}a slip for each of ${told}, and two pages at one scale: the photo, and the card to punch.`;
  }

  /** @param {"paper" | "pages" | "slips"} what @param {string} title @param {Record<string, string>} words */
  #choice(what, title, words) {
    return h("fieldset", { key: what, class: ["papers", what !== "paper" && "stacked"] },
      h("legend", null, title),
      Object.entries(words).map(([value, word]) => h("label", { key: value },
        h("input", {
          type: "radio",
          name: what,
          checked: value === this[what],
          onchange: () => this.#take({ [what]: value }),
        }), word)));
  }

  #drawing() {
    const { canvas } = this.studio.state;
    const known = Object.entries(GRIDS).filter(([key]) => canvas || key === "" || key === "thirds");
    return h("label", { key: "grid", class: "row" }, "A page to transfer the drawing by",
      h("select", { value: this.grid, onchange: ({ target }) => this.#take({ grid: target.value }) },
        known.map(([key, word]) => h("option", { key, value: key }, word))));
  }

  #plan() {
    if (this.studio.state.plan) return h("p", { key: "own" }, "With the plan that all is mixed by, after the cover.");
    return h("label", { key: "plan" },
      h("input", {
        type: "checkbox",
        checked: this.planned,
        onchange: (event) => this.#takePlan(event.target.checked),
      }), h("span", null, "Mixed by the plan, with its pages after the cover"));
  }

  /** @param {boolean} planned */
  #takePlan(planned) {
    localStorage.setItem(PLANNED, planned ? "yes" : "no");
    this.#set({ planned, sheet: null });
    this.#ask();
  }

  /** @param {Partial<Pick<Print, "paper" | "pages" | "slips" | "grid">>} what */
  #take(what) {
    if (what.paper) localStorage.setItem(KEY, what.paper);
    this.#set({ ...what, sheet: null });
    this.#ask();
  }

  /**
   * Change what is known of the value finder; called by its own panel.
   *
   * @param {Partial<import("./finder.js").Finder>} what
   */
  takeFinder(what) {
    this.#set({ finder: { ...this.finder, ...what } });
  }

  /**
   * Turn to a page; called by the pages' own buttons.
   *
   * @param {number} page
   */
  turn(page) {
    if (page >= 1 && page <= (this.sheet?.pages ?? 0)) this.#set({ page });
  }

  /** @param {Partial<Print>} what */
  #set(what) {
    Object.assign(this, what);
    this.#draw();
  }
}
