/**
 * The canvas in centimetres, the side of the squares drawn on it, and its ground.
 */
import { h } from "../../core/dom.js";

const CLOSE = 0.01;

/** The form; `changed()` is called when it opens or closes. */
export class CanvasForm {
  open = false;

  /** @param {Studio} studio @param {() => void} changed */
  constructor(studio, changed) {
    this.studio = studio;
    this.changed = changed;
  }

  toggle() {
    this.open = !this.open;
    this.changed();
  }

  /** @param {LookView} look */
  form(look) {
    const { canvas } = this.studio.state;
    return h("form", { key: "canvas-form", class: "canvas-form panel", novalidate: true, onsubmit: (event) => this.#set(event) },
      h("div", { class: "row" },
        field("width_cm", "Width", canvas?.width_cm),
        field("height_cm", "Height", canvas?.height_cm),
        field("grid_cm", "Grid", canvas?.grid_cm),
        h("button", { class: "strong" }, "Set"),
        canvas && h("button", { key: "none", type: "button", onclick: () => this.studio.change("canvas") }, "No canvas")),
      this.#ground(),
      this.unlike(look));
  }

  /** What the canvas is toned with before the first stroke; kept as soon as it is chosen. */
  #ground() {
    const { ground, grounds, ground_words: words } = this.studio.state;
    return h("div", { key: "ground", class: "canvas-ground" },
      h("label", { class: "row" }, "Ground",
        h("select", { value: ground, onchange: ({ target }) => this.studio.change("ground", { ground: target.value }) },
          h("option", { key: "", value: "" }, "nothing said"),
          grounds.map((name) => h("option", { key: name, value: name }, name)))),
      words && h("p", { key: "words", class: "small" }, words));
  }

  /**
   * The caution where the canvas has other proportions than the photo, else nothing.
   *
   * @param {LookView} look
   */
  unlike(look) {
    const { canvas } = this.studio.state;
    return canvas && !fits(canvas, this.studio.state.photo) && h("p", { key: "unlike", class: "unlike small" },
      h("span", { class: "sign", "aria-hidden": true }, "!"),
      " The photo has other proportions than the canvas, so the grid's squares are oblong on it. ",
      h("button", { type: "button", onclick: () => look.cropping.begin() }, "Crop to the canvas"));
  }

  /** @param {On<SubmitEvent, HTMLFormElement>} event */
  async #set(event) {
    event.preventDefault();
    const given = new FormData(event.target);
    /** @type {Fields} */
    const fields = {};
    for (const [name, text] of given) if (text) fields[name] = Number(text);
    await this.studio.change("canvas", fields);
  }
}

/**
 * Say whether the photo as cropped has the canvas's proportions.
 *
 * @param {Canvas} canvas
 * @param {Photo} photo
 */
function fits(canvas, photo) {
  return Math.abs((canvas.width_cm * photo.height_px) / (canvas.height_cm * photo.width_px) - 1) < CLOSE;
}

/** @param {string} name @param {string} word @param {number | null | undefined} value */
function field(name, word, value) {
  return h("label", { key: name }, word,
    h("input", {
      name, type: "number", inputmode: "decimal", step: "any", value: value ?? "",
    }), "cm");
}
