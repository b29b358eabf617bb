/**
 * The colours found, one slip each, the chosen one open.
 */
import { h } from "../../core/dom.js";
import { slip } from "../../parts/slip/slip.js";
import { addPhoto } from "./photos.js";

/**
 * Describe the column of slips.
 *
 * @param {State} state
 * @param {Studio} studio
 */
export function slips(state, studio) {
  if (!state.holes.length) return empty(studio);
  return [
    state.holes.map((hole) => slip(hole, state, studio, { open: hole.key === studio.chosen })),
    h("p", { key: "judge", class: "judge" },
      "The dab, not the screen, is the judge: mix, dab, let it dry, and hold it to the print."),
    state.photos.length === 0 && h("div", { key: "other", class: "panel other-photo" },
      h("p", null, "A sky, a sitter, a wall from another photo? It has its own light and holes; the plan is one."),
      addPhoto(studio)),
    hands(),
  ];
}

/** @param {Studio} studio */
function empty(studio) {
  return [h("div", { key: "empty", class: "panel first" },
    h("h2", null, "Punch the first hole"),
    h("p", null, "Click a colour in the photo. It stands here alone, beside the mix that makes it."),
    h("button", { type: "button", onclick: () => studio.change("punch_masses") }, "Punch one for each mass")), hands()];
}

const WAYS = [
  ["By pointer", "Click punches, drag moves a hole. The wheel zooms; over the chosen hole it sizes that hole."],
  ["By touch", "Tap punches. Rest a finger to aim first, lift it to punch. Two fingers zoom."],
  ["By keyboard, on the photo", "Arrows move the crosshair, with Shift further; Enter punches; + and − zoom, 0 shows all."],
  ["By keyboard, on a hole", "Arrows move it, + and − size it, F2 names it, Delete removes it, Escape goes back to the photo."],
];

function hands() {
  return h("details", { key: "hands", class: "hands panel" },
    h("summary", null, "Hands and keys"),
    h("dl", null, WAYS.map(([who, how]) =>
      h("div", { key: who }, h("dt", null, who), h("dd", { class: "small" }, how)))));
}
