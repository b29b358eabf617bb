/**
 * The last step, for a tutor: what these tubes show a class, as strips to be printed and painted.
 */
import { get } from "../../core/api.js";
import { h } from "../../core/dom.js";
import { painted, screenMark } from "../../core/paint.js";
import { step } from "./step.js";

const PAPERS = { a4: "A4", letter: "Letter" };

/**
 * The strips that are asked for of a box, and on which of its tubes; they are reckoned when a tutor
 * wants to see them, as most painters never do.
 */
export class Demonstrating {
  #asked = 0;

  /** @param {() => void} changed */
  constructor(changed) {
    this.changed = changed;
    /** @type {string | null} */
    this.box = null;
    this.colour = "";
    this.paper = "a4";
    /** @type {Demonstrated | null} */
    this.shown = null;
    this.why = "";
    this.waits = false;
  }

  /**
   * Another box has other tubes: what was shown of the last one goes.
   *
   * @param {string | null} box
   */
  of(box) {
    if (box === this.box) return;
    this.#asked += 1;
    Object.assign(this, { box, colour: "", shown: null, why: "", waits: false });
  }

  /** @param {string} paper */
  on(paper) {
    this.paper = paper;
    this.changed();
  }

  /** @param {string} colour */
  choose(colour) {
    this.colour = colour;
    return this.shown ? this.ask() : this.changed();
  }

  async ask() {
    const asked = this.#asked += 1;
    Object.assign(this, { waits: true, why: "" });
    this.changed();
    try {
      /** @type {Demonstrated} */
      const shown = await get(`demonstrations?${this.query}`);
      if (asked === this.#asked) Object.assign(this, { shown, waits: false });
    } catch (error) {
      if (asked === this.#asked) Object.assign(this, { shown: null, waits: false, why: error.message });
    }
    this.changed();
  }

  get query() {
    return new URLSearchParams({ box: this.box ?? "", colour: this.colour, paper: this.paper });
  }
}

/**
 * Describe the choice of a colour, the way to print, and the strips once they were asked for.
 *
 * @param {TubesView} view
 */
export function demonstrationStep({ bench, demonstrating }) {
  demonstrating.of(bench.box);
  return step({ part: "demonstrations", number: 7, title: "To show a class", bench },
    h("p", { class: "small" },
      "Strips to be painted in front of a class with these tubes: a colour greyed by its complement, lightened, ",
      "darkened, a blue that goes green and one that does not, chalky lights and flat darks. Each step has its ",
      "parts, its expected colour, and on paper an empty place for yours."),
    bench.start && form(bench, demonstrating),
    h("p", { key: "strips-wait", class: "bench-doing", role: "status" }, demonstrating.waits && "Mixing the strips …"),
    h("p", { key: "strips-why", class: "bench-why", role: "alert" }, demonstrating.why),
    demonstrating.shown && h("div", { key: "strips", class: "bench-demonstrations" },
      demonstrating.shown.demonstrations.map(demonstration),
      demonstrating.shown.flags.map(flag)));
}

/** @param {Bench} bench @param {Demonstrating} demonstrating */
function form(bench, demonstrating) {
  const held = bench.shelf.boxes.find(({ id }) => id === bench.box)?.tubes;
  const tubes = Array.isArray(held) ? held : [];
  return h("form", {
    key: "strips-form",
    class: "row",
    onsubmit: (event) => { event.preventDefault(); demonstrating.ask(); },
  },
    h("label", { class: "bench-choice" }, "Shown on",
      h("select", { value: demonstrating.colour, onchange: ({ target }) => demonstrating.choose(target.value) },
        h("option", { value: "" }, "the strongest colour of middle value"),
        tubes.map((tube) => h("option", { key: tube, value: tube }, tube)))),
    h("label", null, "Paper",
      h("select", { value: demonstrating.paper, onchange: ({ target }) => demonstrating.on(target.value) },
        Object.entries(PAPERS).map(([key, word]) => h("option", { key, value: key }, word)))),
    h("button", { type: "submit", "aria-disabled": demonstrating.waits }, "Show the strips"),
    demonstrating.box && h("a", {
      key: "print",
      class: "button",
      href: `/api/demonstrations.pdf?${demonstrating.query}`,
      download: "",
    }, "Print the strips (PDF)"));
}

/** @param {Demonstration} shown */
function demonstration({ name, title, words, is_shown, strips, flags }) {
  const places = strips.flatMap(({ steps }) => steps.map(({ place }) => place));
  const first = Math.min(...places);
  const columns = Array.from({ length: Math.max(...places) - first + 1 }, (_, at) => first + at);
  return h("section", { key: name, class: "bench-demonstration", "aria-labelledby": `strips-${name}` },
    h("h3", { id: `strips-${name}` }, is_shown ? title : `Not shown: ${title}`),
    words && h("p", { key: "words" }, words),
    strips.map((strip) => table(strip, columns)),
    flags.map(flag));
}

/** @param {Flag} flag */
function flag({ name, text }) {
  return h("p", { key: `${name} ${text}`, class: "small flag" },
    h("span", { class: "sign", "aria-hidden": true }, "!"), h("span", null, text));
}

/**
 * A strip as a table: a column a place, its colour above, a row of figures for each paint. Strips of
 * one demonstration have the same columns, so that like values stand below each other.
 *
 * @param {PaintStrip} strip
 * @param {number[]} columns
 */
function table({ words, paints, steps }, columns) {
  /** @param {(one: StripStep) => Child} content @param {string} [look] */
  const cells = (content, look) => columns.map((place) => {
    const one = steps.find((each) => each.place === place);
    return h("td", { key: place, class: look }, one && content(one));
  });
  return h("div", { key: words, class: "bench-strip" },
    h("table", null,
      h("caption", null, words),
      h("thead", null, h("tr", null,
        h("th", { scope: "col" }, h("span", { class: "unseen" }, "Colour")),
        cells(({ lab }) => [h("span", { class: "bench-strip-paint", ...painted(lab) }), screenMark(lab)]))),
      h("tbody", null,
        paints.map(({ name }, row) => h("tr", { key: name },
          h("th", { scope: "row" }, name),
          cells(({ parts }) => parts[row] || "–", "bench-strip-parts"))),
        h("tr", { key: "value" },
          h("th", { scope: "row" }, h("span", { class: "unseen" }, "value")),
          cells((one) => one.value_words, "small")),
        h("tr", { key: "word" },
          h("th", { scope: "row" }, h("span", { class: "unseen" }, "what it turns")),
          cells((one) => one.words, "bench-strip-word")))));
}
