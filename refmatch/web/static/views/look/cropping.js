/**
 * Choosing the part of the photo that is painted: a frame dragged over the whole photo,
 * of the canvas's proportions where there is a canvas.
 */
import { h } from "../../core/dom.js";
import { keys } from "../../core/keys.js";
import { say } from "../../core/say.js";
import { CropFrame } from "../../parts/stage/cropframe.js";

/** The act of cropping on one stage; `changed()` is called when it begins or ends. */
export class Cropping {
  /** @type {CropFrame | null} */
  #frame = null;
  /** @type {Frame | null} */
  #before = null;
  #begun = 0;

  /** @param {Stage} photo @param {Studio} studio @param {() => void} changed */
  constructor(photo, studio, changed) {
    this.photo = photo;
    this.studio = studio;
    this.changed = changed;
  }

  get on() {
    return this.#frame !== null;
  }

  /** Show the whole photo, and the frame as it was. */
  async begin() {
    const { photo } = this.studio.state;
    this.#before = isWhole(photo) ? null : photo.frame;
    if (this.#before) await this.studio.change("crop");
    this.#begun = this.studio.state.revision;
    this.photo.show({ card: null });
    this.photo.fit();
    const frame = new CropFrame(this.studio.state.photo, this.studio.state.canvas, this.#before);
    this.#frame = frame;
    this.photo.add(frame);
    keys(frame.element, { Enter: () => this.#crop(), Escape: () => this.#cancel() });
    this.changed();
    frame.focus();
    say("Drag the frame or its corners, or move them with the arrow keys; Enter crops, Escape leaves it.");
  }

  /** Stop where another window or an undo has changed the photo meanwhile. */
  update() {
    if (this.on && !isWhole(this.studio.state.photo)) this.#end();
  }

  leave() {
    if (this.on) this.#cancel();
  }

  strip() {
    const { canvas } = this.studio.state;
    return h("div", { key: "cropping", class: "strip" },
      h("p", { key: "what" }, canvas
        ? `The frame keeps to ${canvas.width_cm} × ${canvas.height_cm} cm.`
        : "Drag the frame or its corners."),
      h("div", { key: "ways", class: "row" },
        h("button", { key: "crop", type: "button", class: "strong", onclick: () => this.#crop() }, "Crop to the frame"),
        h("button", { key: "all", type: "button", onclick: () => this.#end() }, "Keep the whole photo"),
        this.#before && h("button", { key: "back", type: "button", onclick: () => this.#cancel() }, "As it was")));
  }

  async #crop() {
    const fields = this.#frame?.inPhoto();
    this.#end();
    if (fields) await this.studio.change("crop", fields);
  }

  #cancel() {
    const before = this.#before;
    this.#end();
    if (!before) return;
    if (this.studio.state.revision === this.#begun) this.studio.undo();
    else this.studio.change("crop", { ...before });
  }

  #end() {
    if (this.#frame) this.photo.drop(this.#frame);
    this.#frame = null;
    this.#before = null;
    this.changed();
    this.photo.surface.focus();
  }
}

/** @param {Photo} photo */
function isWhole({ frame, whole_width_px, whole_height_px }) {
  return frame.width_px === whole_width_px && frame.height_px === whole_height_px;
}
