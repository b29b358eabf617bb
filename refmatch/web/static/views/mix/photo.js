/**
 * The photo, small, with the holes' numbers: a click on one opens its slip.
 */
import { h } from "../../core/dom.js";
import { placeLabels } from "../../parts/labels.js";

/** Its width in CSS pixels where it is narrowest (a phone), and a number's size there. */
const NARROWEST = 320;
const MARK = { width: 28, height: 28 };

/**
 * The small photo of the Mix view.
 *
 * @param {State} state
 * @param {Studio} studio
 */
export function photoPanel(state, studio) {
  const { photo } = state;
  const holes = state.holes.filter((hole) => hole.photo === state.shown);
  const room = { width: NARROWEST, height: (NARROWEST * photo.height_px) / photo.width_px };
  const places = placeLabels(holes.map((hole) => ({
    x: (room.width * hole.x_px) / photo.width_px,
    y: (room.height * hole.y_px) / photo.height_px,
    radius: 0,
  })), MARK, room);
  const ratio = photo.width_px / photo.height_px;
  return h("figure", { key: "photo", class: "small-photo", style: { "--photo-ratio": ratio.toFixed(4) } },
    h("img", {
      src: studio.url(`pictures/${photo.look}/balanced.jpg`),
      alt: `The photo, ${holes.length} holes in it`,
      width: photo.width_px,
      height: photo.height_px,
    }),
    holes.map((hole, i) => h("button", {
      key: hole.key,
      type: "button",
      class: "mark",
      "aria-pressed": hole.key === studio.chosen,
      "aria-label": `Slip ${hole.number}, ${hole.heading}`,
      style: {
        left: percent(places[i].x, room.width),
        top: percent(places[i].y, room.height),
      },
      onclick: () => open(hole, studio),
    }, hole.number)));
}

/** @param {Hole} hole @param {Studio} studio */
function open(hole, studio) {
  studio.choose(hole.key);
  document.getElementById(`slip-${hole.key}`)?.scrollIntoView({ block: "nearest" });
}

/** @param {number} part @param {number} whole */
function percent(part, whole) {
  return `${(100 * part) / whole}%`;
}
