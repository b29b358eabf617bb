/**
 * The colours found, one slip each; the chosen one open, with what can be done to its hole.
 */
import { h } from "../../core/dom.js";
import { painted, screenMark } from "../../core/paint.js";

/** Describe the column of slips. */
export function slips(state, studio, photo) {
  if (!state.holes.length) return empty(studio);
  return [
    h("ol", { key: "slips" }, state.holes.map((hole) => {
      const open = hole.key === studio.chosen;
      return h("li", { key: hole.key }, open && holeTools(hole, studio, photo), row(hole, studio, open));
    })),
    h("p", { key: "judge", class: "judge" },
      "The dab, not the screen, is the judge: mix, dab, dry, and hold it to the print or the photo."),
  ];
}

function empty(studio) {
  return h("div", { key: "empty", class: "panel" },
    h("h2", null, "Punch the first hole"),
    h("p", null, "Click a colour in the photo. It stands here alone, with the mix that makes it."),
    h("p", { class: "small" }, "By keyboard: go to the photo, move the crosshair with the arrow keys, press Enter. By touch: tap, or rest a finger and aim."),
    h("button", { type: "button", onclick: () => studio.change("punch_masses") }, "Punch one for each mass"));
}

function holeTools(hole, studio, photo) {
  const name = (event) => studio.change("name", { hole: hole.key, label: event.target.value.trim() });
  const remove = () => {
    studio.change("remove", { hole: hole.key });
    photo.surface.focus();
  };
  const button = (mark, label, act) =>
    h("button", { key: label, type: "button", "aria-label": label, title: label, onclick: act }, mark);
  return h("div", { key: "tools", class: "hole-tools row" },
    h("span", { key: "number", class: "number" }, hole.number),
    h("input", {
      key: "name",
      id: `name-${hole.key}`,
      "aria-label": `Name of hole ${hole.number}`,
      placeholder: "name it",
      maxlength: 60,
      autocomplete: "off",
      value: hole.named ? hole.label : "",
      onchange: name,
      onkeydown: (event) => event.key === "Enter" && event.target.blur(),
    }),
    button("−", "Smaller hole", () => photo.holes.size(hole.key, 1 / 1.12)),
    button("+", "Larger hole", () => photo.holes.size(hole.key, 1.12)),
    h("button", { key: "remove", type: "button", onclick: remove }, "Remove"));
}

function row(hole, studio, open) {
  const recipe = hole.recipes[hole.chosen];
  return h("button", {
    key: "row", type: "button", class: ["slip-row", open && "open"], "aria-expanded": open,
    onclick: () => studio.choose(hole.key),
  },
  h("span", { class: "pair" }, h("i", painted(hole.colour)), recipe && h("i", painted(recipe.colour))),
  h("span", { class: "number" }, hole.number),
  h("span", { class: "what" },
    h("b", null, hole.heading), hole.named && ` ${hole.words}`,
    recipe && h("span", { class: "small" }, recipe.words),
    open && hole.neighbours.map((words) => h("span", { class: "small" }, words)),
    open && screenMark(hole.colour)),
  h("span", { class: "verdict" }, recipe?.verdict));
}
