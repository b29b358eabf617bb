/**
 * The colours found, one slip each, the chosen one open.
 */
import { h } from "../../core/dom.js";
import { slip } from "../../parts/slip/slip.js";

/** Describe the column of slips. */
export function slips(state, studio) {
  if (!state.holes.length) return empty(studio);
  return [
    state.holes.map((hole) => slip(hole, state, studio, { open: hole.key === studio.chosen })),
    h("p", { key: "judge", class: "judge" },
      "The dab, not the screen, is the judge: mix, dab, let it dry, and hold it to the print."),
  ];
}

function empty(studio) {
  return h("div", { key: "empty", class: "panel first" },
    h("h2", null, "Punch the first hole"),
    h("p", null, "Click a colour in the photo. It stands here alone, beside the mix that makes it."),
    h("p", { class: "small" }, "By keyboard: go to the photo, move the crosshair with the arrow keys, press Enter. ",
      "By touch: tap, or rest a finger and aim."),
    h("button", { type: "button", onclick: () => studio.change("punch_masses") }, "Punch one for each mass"));
}
