/**
 * The photo, small, with the holes' numbers: a click on one opens its slip.
 */
import { h } from "../../core/dom.js";

/** The small photo of the Mix view. */
export function photoPanel(state, studio) {
  const { photo } = state;
  return h("figure", { key: "photo", class: "small-photo" },
    h("img", {
      src: studio.url(`pictures/${photo.look}/balanced.jpg`),
      alt: `The photo, ${state.holes.length} holes in it`,
      width: photo.width_px,
      height: photo.height_px,
    }),
    state.holes.map((hole) => h("button", {
      key: hole.key,
      type: "button",
      class: "mark",
      "aria-pressed": hole.key === studio.chosen,
      "aria-label": `Slip ${hole.number}, ${hole.heading}`,
      style: {
        left: percent(hole.x_px, photo.width_px),
        top: percent(hole.y_px, photo.height_px),
      },
      onclick: () => open(hole, studio),
    }, hole.number)));
}

function open(hole, studio) {
  studio.choose(hole.key);
  document.getElementById(`slip-${hole.key}`)?.scrollIntoView({ block: "nearest" });
}

function percent(part, whole) {
  return `${(100 * part) / whole}%`;
}
