/**
 * The strip under the photo: how near, the card, the canvas with its grid, the crop.
 */
import { h } from "../../core/dom.js";

const CARDS = [["", "no card"], ["grey", "grey card"], ["white", "white card"], ["toned", "toned card"]];

/**
 * Describe the strip for the Look view.
 *
 * @param {LookView} look
 */
export function tools(look) {
  if (look.cropping.on) return look.cropping.strip();
  return [
    h("div", { key: "strip", class: "strip" }, nearness(look.photo), holeTools(look), cardChoice(look), canvasButtons(look)),
    look.canvas.open ? look.canvas.form(look) : look.grid && look.studio.state.canvas?.grid_cm && look.canvas.unlike(look),
  ];
}

/** @param {Stage} photo */
function nearness(photo) {
  return h("div", { key: "near", class: "row joined", role: "group", "aria-label": "How near" },
    button("−", "Zoom out", () => photo.zoom(1 / 1.5)),
    h("output", { class: "percent", "aria-label": "Scale" }, `${Math.round(photo.scale * 100)} %`),
    button("+", "Zoom in", () => photo.zoom(1.5)),
    button("Whole", "The whole photo", () => photo.fit()),
    button("1 : 1", "1 : 1, each pixel of the photo as one of the screen", () => photo.actual()));
}

/** @param {LookView} look */
function holeTools({ studio, photo }) {
  const hole = studio.hole(studio.chosen);
  if (!hole || hole.photo !== studio.state.shown) return null;
  return h("div", { key: "hole", class: "row joined", role: "group", "aria-label": `Hole ${hole.number}` },
    h("span", { class: "number", "aria-hidden": true }, hole.number),
    button("−", "Smaller hole", () => photo.holes.size(hole.key, 1 / 1.12)),
    button("+", "Larger hole", () => photo.holes.size(hole.key, 1.12)),
    button("Remove", `Remove hole ${hole.number}`, () => photo.holes.remove(hole)));
}

/** @param {string} mark @param {string} label @param {() => unknown} act */
function button(mark, label, act) {
  return h("button", { key: label, type: "button", "aria-label": label, title: label, onclick: act }, mark);
}

/** @param {LookView} look */
function cardChoice(look) {
  return h("label", { key: "card" }, h("span", { class: "unseen" }, "Card"),
    h("select", { value: look.card, onchange: (event) => look.lay(event.target.value) },
      CARDS.map(([key, words]) => h("option", { key, value: key }, words))));
}

/** @param {LookView} look */
function canvasButtons(look) {
  const { canvas } = look.studio.state;
  return h("div", { key: "canvas", class: "row" },
    h("button", {
      key: "size", type: "button", "aria-expanded": look.canvas.open, onclick: () => look.canvas.toggle(),
      title: "The canvas in centimetres, and its grid",
      "aria-label": canvas ? `Canvas ${canvas.width_cm} × ${canvas.height_cm} cm` : "Canvas",
    }, canvas ? `${canvas.width_cm} × ${canvas.height_cm} cm` : "Canvas"),
    canvas?.grid_cm && h("button", {
      key: "grid", type: "button", "aria-pressed": look.grid, onclick: () => look.toggleGrid(),
      title: `Squares of ${canvas.grid_cm} cm`,
    }, "Grid"),
    h("button", { key: "crop", type: "button", onclick: () => look.cropping.begin() }, "Crop"));
}
