/**
 * Canvas: a photo of the painting held against its reference, values first.
 */
import { get, post } from "../../core/api.js";
import { h, morph, pressBefore } from "../../core/dom.js";
import { say } from "../../core/say.js";
import { sendPhoto } from "../../core/send.js";
import { styles } from "../../core/styles.js";
import { GREY_LSTAR, greyField } from "../../parts/grey.js";
import { doubts } from "../../parts/slip/said.js";
import { BLINK_MS, sides } from "./sides.js";
import { table } from "./table.js";

await styles(import.meta.url, "view.css");

/** @type {View} */
export const view = {
  word: "Canvas",
  title: "Canvas",
  mount: (root, studio) => new CanvasView(root, studio),
};

const KINDS = "image/*,.heic,.heif,.avif,.tif,.tiff,.dng";
const RING = 0.04;
const CORNERS = 4;

export class CanvasView {
  #left = false;
  #blinking = 0;

  /** @param {HTMLElement} root @param {Studio} studio */
  constructor(root, studio) {
    this.root = root;
    this.studio = studio;
    /** @type {CanvasState | null} */
    this.state = null;
    this.doing = "";
    this.why = "";
    /** @type {Place | null} */
    this.grey = null;
    /** @type {Place[]} */
    this.corners = [];
    this.lstar = String(GREY_LSTAR);
    /** What a click in the photo marks. */
    this.marks = "grey";
    /** How both are seen: the ending of the pictures' names. */
    this.ending = "-3";
    this.parted = 50;
    this.blinks = false;
    this.#do("", () => get(this.#path("")));
  }

  /** @param {State} state */
  update(state) {
    if (this.state && !this.doing && state.revision !== this.state.revision) this.#do("", () => get(this.#path("")));
    this.draw();
  }

  leave() {
    this.#left = true;
    clearInterval(this.#blinking);
    this.root.replaceChildren();
  }

  /**
   * Change what this window alone knows.
   *
   * @param {Partial<CanvasView>} what
   */
  take(what) {
    Object.assign(this, what);
    this.draw();
  }

  /** Show one and the other in turn, or both parted. */
  blink() {
    clearInterval(this.#blinking);
    this.take({ blinks: !this.blinks });
    if (!this.blinks) return;
    let canvas = true;
    this.#blinking = setInterval(() => {
      canvas = !canvas;
      this.root.querySelector(".canvas-sides")?.classList.toggle("canvas-off", !canvas);
    }, BLINK_MS);
  }

  /** @param {string} name */
  picture(name) {
    const look = this.state?.pictures[name];
    return look ? this.studio.url(`canvas/pictures/${name}/${look}`) : null;
  }

  draw() {
    if (this.#left) return;
    const { state } = this;
    morph(this.root,
      h("h1", { key: "h1", class: "unseen" }, "Canvas"),
      h("div", { key: "canvas", class: "canvas" },
        this.#photoPanel(),
        state?.shown && sides(this),
        state?.shown && table(state.shown)));
  }

  #photoPanel() {
    const { state } = this;
    return h("section", { key: "photo", class: "panel canvas-panel", "aria-labelledby": "canvas-photo" },
      h("h2", { id: "canvas-photo" }, "A photo of the canvas"),
      h("p", { class: "small" },
        "All four corners in the picture, in even light and without shine; a grey card or a 24-patch chart beside it, ",
        "in the same light. The canvas and a chart are found by themselves."),
      h("div", { key: "pick", class: "row" }, this.#picker()),
      h("p", { key: "doing", class: "canvas-doing", role: "status" }, this.doing),
      this.why && h("p", { key: "why", role: "alert" }, this.why),
      state?.photo && this.#marking(state.photo),
      state?.checked && h("div", { key: "flags", class: "canvas-flags" }, doubts(state.checked.flags)));
  }

  #picker() {
    return h("span", { key: "choose" },
      h("input", {
        type: "file",
        accept: KINDS,
        hidden: true,
        "aria-label": "Choose a photo",
        onchange: (event) => this.#lay(event.target),
      }),
      h("button", {
        type: "button",
        class: !this.state?.photo && "strong",
        onclick: (event) => pressBefore(event.currentTarget),
      }, "Choose a photo"));
  }

  /** @param {Extent & { key: string }} photo */
  #marking(photo) {
    return h("div", { key: "marking", class: "canvas-marking" },
      h("fieldset", { key: "what", class: "canvas-ways" },
        h("legend", null, "A click marks"),
        h("div", { class: "row joined" },
          this.#choice("marks", "grey", "The grey card"), this.#choice("marks", "corner", "A corner"))),
      h("div", {
        key: "picture",
        class: "canvas-photo",
        style: { "--photo-ratio": String(photo.width_px / photo.height_px) },
        onclick: (event) => this.#mark(event, photo),
      },
        h("img", { alt: "The photo of the canvas", src: this.studio.url(`canvas/photos/${photo.key}.jpg`) }),
        this.#rings(photo)),
      h("div", { key: "known", class: "row" },
        greyField(this.lstar, ({ value }) => this.take({ lstar: value })),
        (this.grey || this.corners.length > 0)
          && h("button", { key: "none", type: "button", onclick: () => this.take({ grey: null, corners: [] }) }, "Take the marks away")),
      h("p", { key: "due", class: "small" }, this.#due()),
      h("button", {
        key: "look",
        type: "button",
        class: "strong",
        "aria-disabled": !this.#mayLook,
        onclick: () => this.#mayLook && this.#look(photo),
      }, "Look at the canvas"));
  }

  get #mayLook() {
    return !this.doing && (this.corners.length === 0 || this.corners.length === CORNERS);
  }

  #due() {
    const left = CORNERS - this.corners.length;
    if (left < CORNERS && left > 0) return `${left === 1 ? "One more corner" : `${left} more corners`} to mark.`;
    if (this.grey) return "The grey card is marked.";
    return "Without a grey card or a chart the parts of the canvas are judged beside each other alone.";
  }

  /** @param {Extent} photo */
  #rings(photo) {
    /** @param {string} key @param {Place} place @param {string} word */
    const ring = (key, place, word) => h("span", {
      key,
      class: "canvas-ring",
      style: { left: `${(100 * place.x_px) / photo.width_px}%`, top: `${(100 * place.y_px) / photo.height_px}%` },
    }, h("span", null, word));
    const found = this.corners.length ? [] : (this.state?.checked?.corners_px ?? []);
    return [
      this.grey && ring("grey", this.grey, "grey"),
      this.corners.map((place, n) => ring(`corner-${n}`, place, String(n + 1))),
      found.map(([x_px, y_px], n) => ring(`found-${n}`, { x_px, y_px }, "")),
    ];
  }

  /** @param {"marks" | "ending"} of @param {string} value @param {string} word */
  #choice(of, value, word) {
    return h("label", { key: value, class: "canvas-way" },
      h("input", {
        type: "radio", name: `canvas-${of}`, value, checked: this[of] === value, onchange: () => this.take({ [of]: value }),
      }), h("span", null, word));
  }

  /** @param {MouseEvent} event @param {Extent} photo */
  #mark(event, photo) {
    if (!(event.currentTarget instanceof HTMLElement)) return;
    const box = event.currentTarget.getBoundingClientRect();
    const x_px = ((event.clientX - box.left) / box.width) * photo.width_px;
    const y_px = ((event.clientY - box.top) / box.height) * photo.height_px;
    if (this.marks === "grey") this.take({ grey: { x_px, y_px } });
    else this.take({ corners: [...this.corners, { x_px, y_px }].slice(-CORNERS) });
  }

  /** @param {HTMLInputElement} input */
  async #lay(input) {
    const file = input.files?.[0];
    input.value = "";
    if (!file) return;
    const most = this.state?.most_photo_bytes;
    const done = await this.#do(`Sending “${file.name}” …`, () => sendPhoto(this.#path("/photos"), file, { most, sent: () => {} }));
    if (done) this.take({ grey: null, corners: [], marks: "grey" });
  }

  /** @param {Extent & { key: string }} photo */
  async #look(photo) {
    const diameter_px = RING * Math.min(photo.width_px, photo.height_px);
    const done = await this.#do("Finding the canvas, holding it against its reference …", () => post(this.#path(""), {
      photo: photo.key,
      corners: this.corners,
      places: { grey: this.grey && { ...this.grey, diameter_px } },
      grey_lstar: Number(this.lstar),
    }));
    if (!done) return;
    say(this.state?.shown?.words[0] ?? "The canvas is looked at.");
    await this.studio.refresh();
  }

  /** @param {string} path */
  #path(path) {
    return `paintings/${this.studio.id}/canvas${path}`;
  }

  /** @param {string} doing @param {() => Promise<CanvasState>} act */
  async #do(doing, act) {
    this.take({ doing, why: "" });
    try {
      const state = await act();
      this.take({ state, doing: "" });
      return true;
    } catch (error) {
      this.take({ doing: "", why: error.message });
      return false;
    }
  }
}
