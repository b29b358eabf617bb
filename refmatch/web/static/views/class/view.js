/**
 * Classes: one painting as the lesson, everybody's own tubes, and the hand-outs to print.
 *
 * It stands before the road, as the start does: `#/class` has no painting open.
 */
import { get, post } from "../../core/api.js";
import { h, morph } from "../../core/dom.js";
import { figures } from "../../core/fold.js";
import { painted } from "../../core/paint.js";
import { styles } from "../../core/styles.js";
import { listedWords } from "../../parts/box/words.js";

await styles(import.meta.url, "view.css");

/** @type {View} */
export const view = { word: "Class", title: "Teach a class", mount: (root) => new Classes(root) };

const EXAMPLE = "Anna, PW6, PY3, PR101, PB29=my blue\nBen, garden-table\nCleo, student, PW6, PY43, PR108, PBk9";

class Classes {
  #left = new AbortController();

  /** @param {HTMLElement} root */
  constructor(root) {
    this.root = root;
    /** @type {ClassCard[]} */
    this.classes = [];
    /** @type {PaintingCard[]} */
    this.paintings = [];
    /** @type {BoxCard[]} */
    this.boxes = [];
    /** @type {ClassRoll | null} */
    this.roll = null;
    /** @type {ClassLesson | null} */
    this.lesson = null;
    this.paper = "a4";
    this.doing = "";
    this.refusal = "";
    this.#list();
  }

  update() {
    morph(this.root, h("div", { class: "classes" },
      h("section", { key: "which", class: "panel which", "aria-labelledby": "which" },
        h("h1", { id: "which" }, "Teach a class"),
        h("p", { class: "lead" }, "One of your paintings is the lesson. Everybody aims at its colours, each with other tubes."),
        this.classes.length > 0 && h("ul", { class: "class-list", "aria-label": "Classes" }, this.classes.map((each) =>
          h("li", { key: each.id }, h("button", {
            type: "button",
            "aria-pressed": this.roll?.id === each.id,
            onclick: () => this.#do("Opening the class …", () => this.#open(each.id)),
          }, `${each.name} (${each.title}, ${students(each.students)})`)))),
        this.#begin(),
        h("p", { key: "doing", class: "doing", role: "status" }, this.doing),
        h("p", { key: "refusal", class: "refusal", role: "alert" }, this.refusal && [
          h("span", { class: "sign", "aria-hidden": true }, "!"), " ", this.refusal])),
      this.roll && this.#students(this.roll),
      this.roll && this.roll.students.length > 0 && this.#prints(this.roll),
      this.lesson && mixes(this.lesson)));
  }

  leave() {
    this.#left.abort();
    this.root.replaceChildren();
  }

  #begin() {
    /** @param {On<SubmitEvent, HTMLFormElement>} event */
    const begin = (event) => {
      event.preventDefault();
      const said = new FormData(event.target);
      const asked = { name: String(said.get("name")), painting: String(said.get("painting")) };
      this.#do("Beginning the class …", async () => {
        const { id } = await post("classes", asked);
        await this.#list();
        await this.#open(id);
      });
    };
    if (this.paintings.length === 0) {
      return h("p", { key: "none" }, "Begin a painting first, punch its holes, and come back: ", h("a", { class: "way-to", href: "#/" }, "to the start"));
    }
    return h("form", { key: "begin", class: "row", onsubmit: begin },
      h("label", null, "A new class ", h("input", { name: "name", required: true, maxlength: 60, autocomplete: "off" })),
      h("label", null, "with ", h("select", { name: "painting" }, this.paintings.map(({ id, title }) =>
        h("option", { key: id, value: id }, title)))),
      h("button", { type: "submit", class: "strong" }, "Begin"));
  }

  /** @param {ClassRoll} roll */
  #students(roll) {
    /** @param {On<SubmitEvent, HTMLFormElement>} event */
    const add = (event) => {
      event.preventDefault();
      const form = event.target;
      const said = new FormData(form);
      const asked = { table: String(said.get("table")), replace: said.get("replace") !== null };
      this.#do("Adding …", async () => {
        const now = await post(`classes/${roll.id}/students`, asked);
        await this.#list();
        form.reset();
        this.#show({ roll: now, lesson: null });
      });
    };
    /** @param {On<SubmitEvent, HTMLFormElement>} event */
    const addBox = (event) => {
      event.preventDefault();
      const form = event.target;
      const said = new FormData(form);
      const asked = { name: String(said.get("student")), box: String(said.get("box")), replace: said.get("replace") !== null };
      this.#do("Adding …", async () => {
        const now = await post(`classes/${roll.id}/students`, asked);
        await this.#list();
        form.reset();
        this.#show({ roll: now, lesson: null });
      });
    };
    return h("section", { key: `who-${roll.id}`, class: "panel who", "aria-labelledby": "who" },
      h("h2", { id: "who" }, `${roll.name}: ${students(roll.students.length)}`),
      roll.students.length > 0 && h("ul", { class: "students" }, roll.students.map((each) =>
        h("li", { key: each.name }, h("strong", null, each.name), " ",
          boxWords(each.box) || each.tubes.join(", "),
          each.grade === "student" && " (student's line)"))),
      h("form", { class: "add", onsubmit: add },
        h("label", { for: "table" }, "Add students, a row each: the name, then tubes by their pigments, or garden-table"),
        h("textarea", { id: "table", name: "table", rows: 5, required: true, placeholder: EXAMPLE, spellcheck: false }),
        h("div", { class: "row" },
          h("button", { type: "submit", class: "strong" }, "Add"),
          h("label", { class: "row" }, h("input", { type: "checkbox", name: "replace" }), "instead of those of the same name"))),
      this.boxes.length > 0 && h("form", { key: "own", class: "add", onsubmit: addBox },
        h("h3", null, "Or a student whose box is here"),
        h("p", { class: "small" }, "One that was started or measured in Tubes; the class keeps a copy of it."),
        h("div", { class: "row" },
          h("label", { class: "row" }, "Name ", h("input", { name: "student", required: true, maxlength: 60, autocomplete: "off" })),
          h("label", { class: "row" }, "Box ", h("select", { name: "box" }, this.boxes.map((box) =>
            h("option", { key: box.id, value: box.id }, listedWords(box))))),
          h("button", { type: "submit" }, "Add with this box"),
          h("label", { class: "row" }, h("input", { type: "checkbox", name: "replace" }), "instead of one of that name"))));
  }

  /** @param {ClassRoll} roll */
  #prints(roll) {
    /** @param {string} name */
    const to = (name) => `/api/classes/${roll.id}/${name}?paper=${this.paper}`;
    return h("section", { key: `prints-${roll.id}`, class: "panel prints", "aria-labelledby": "prints" },
      h("h2", { id: "prints" }, "Mix and print"),
      h("div", { class: "row" },
        h("button", { type: "button", class: "strong", "aria-disabled": this.doing !== "", onclick: () => this.#mix(roll.id) }, "See what everybody mixes"),
        h("label", { class: "row" }, "Paper ", h("select", {
          value: this.paper,
          onchange: ({ target }) => this.#show({ paper: target.value }),
        }, ["a4", "letter"].map((paper) => h("option", { key: paper, value: paper, selected: paper === this.paper }, paper === "a4" ? "A4" : "Letter"))))),
      h("p", { class: "row" },
        h("a", { key: "tutor", class: "button", href: to("tutor.pdf"), download: true }, "The tutor's sheet"),
        h("a", { key: "all", class: "button", href: to("hand-outs.pdf"), download: true }, "All hand-outs")),
      h("p", { class: "row each", "aria-label": "One each" }, "One each: ", roll.students.map((each) =>
        h("a", { key: each.print, class: "way-to", href: to(each.print), download: true }, each.name))),
      h("p", { class: "small" }, "A dozen boxes take some seconds to mix from before the first print comes."));
  }

  /** @param {string} id */
  #mix(id) {
    return this.#do("Mixing from every box …", async () => {
      this.#show({ lesson: await get(`classes/${id}/mixes`) });
    });
  }

  /** @param {string} id */
  async #open(id) {
    this.#show({ roll: await get(`classes/${id}`), lesson: null });
  }

  #list() {
    return Promise.all([get("classes"), get("start")]).then(
      ([{ classes }, { paintings, boxes }]) => this.#show({ classes, paintings, boxes }),
      (error) => this.#show({ refusal: error.message }));
  }

  /** @param {string} doing @param {() => Promise<void>} work */
  async #do(doing, work) {
    if (this.doing) return;
    this.#show({ doing, refusal: "" });
    try {
      await work();
      this.#show({ doing: "" });
    } catch (error) {
      this.#show({ doing: "", refusal: error.message });
    }
  }

  /** @param {Partial<Classes>} what */
  #show(what) {
    if (this.#left.signal.aborted) return;
    Object.assign(this, what);
    this.update();
  }
}

/** @param {string} box */
function boxWords(box) {
  return box.endsWith(".toml") ? "a box of their own" : box && `the box ${box}`;
}

/** @param {number} count */
function students(count) {
  return count === 1 ? "1 student" : `${count} students`;
}

/**
 * Describe all answers: for each target how far the class lies apart, and what each mixes.
 *
 * @param {ClassLesson} lesson
 */
function mixes(lesson) {
  return h("section", { key: "mixes", class: "panel mixes", "aria-labelledby": "mixes" },
    h("h2", { id: "mixes" }, "What everybody mixes"),
    h("p", null, lesson.lead),
    lesson.loans.length > 0 && h("div", { class: "loans" },
      h("h3", null, "To lend"),
      h("ul", null, lesson.loans.map((line) => h("li", { key: line }, line)))),
    lesson.targets.map((target, at) => h("article", { key: target.label, class: "aim" },
      h("h3", null, h("span", { class: "number" }, `${at + 1}`), ` ${lesson.headings[at]}`),
      h("ul", null, target.mixes.map((mix) => h("li", { key: mix.name, class: "mix" },
        h("span", { class: "pair", "aria-hidden": true },
          h("i", painted(target.lab)), h("i", painted(mix.mix_lab))),
        h("strong", null, mix.name),
        h("span", null, laid(mix.laid_out, mix.portions), " ",
          mix.remarks.map((remark) => h("span", { key: remark, class: "remark" }, remark)))))),
      figures(h("p", { class: "small" }, `${lesson.spreads[at]} `, target.mixes.map((mix) =>
        `${mix.name} ${mix.delta_e_00.toFixed(1)}`).join(", "), " (ΔE00 from the target, on paper).")))),
    h("h3", null, "For the class table"),
    h("p", { class: "small" }, lesson.table_words),
    h("table", { class: "paints" },
      h("thead", null, h("tr", null, ["Paint", "In all", "Tubes, 37 ml", "For"].map((word) => h("th", { key: word, scope: "col" }, word)))),
      h("tbody", null, lesson.table.map((row) => h("tr", { key: row[0] }, row.map((cell, i) => h("td", { key: i }, cell)))))),
    h("ul", { class: "small" }, lesson.cautions.map((line) => h("li", { key: line }, line))));
}

/**
 * Say a recipe in a line; one that a plan draws from another puddle is told by its tubes.
 *
 * @param {{ tube: string, parts: number, let_down_white_parts: number }[]} rows
 * @param {{ tube: string, parts: number }[]} portions
 */
function laid(rows, portions) {
  if (rows.length === 0) return portions.map(({ tube, parts }) => `${Number(parts.toPrecision(3))} ${tube}`).join(" + ");
  return rows.map((row) => `${row.parts} ${row.tube}${row.let_down_white_parts ? ` let-down (1 : ${row.let_down_white_parts} white)` : ""}`).join(" + ");
}
