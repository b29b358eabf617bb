/**
 * Hue and chroma: where each hole lies round grey, where its mix falls, and how far the
 * tubes reach.
 *
 * The plane is CIELAB's: redder to the right, yellower up, stronger further out. The thin
 * outline is all that the tubes on the table make, the heavy one what they make at the
 * value of the chosen hole.
 */
import { h } from "../../core/dom.js";
import { painted } from "../../core/paint.js";
import { styles } from "../../core/styles.js";
import { placeLabels } from "../labels.js";
import { outlinePath, planeFor, ROOM } from "./plane.js";

await styles(import.meta.url, "chart.css");

/** @typedef {{ hole: Hole, mix: Colour | null }} Mark */

const DOT = 6.5;
const FIGURE = { width: 20, height: 15 };

/**
 * Describe the chart of `state.holes`. `reach` comes from reach.js, or is null for now.
 *
 * @param {State} state
 * @param {Studio} studio
 * @param {Outlines | null} reach
 */
export function chart(state, studio, reach) {
  const marks = state.holes.map(markOf);
  const at = planeFor([
    ...(reach?.outline ?? []),
    ...marks.flatMap(({ hole, mix }) => (mix ? [hole.colour, mix] : [hole.colour]).map(planePoint)),
  ]);
  const chosen = studio.hole(studio.chosen);
  return h("section", { key: "chart", class: "panel chart", "aria-label": "Hue and chroma chart" },
    h("div", { class: "chart-body" },
      h("div", { class: "chart-words" }, h("h2", null, "Hue and chroma"), legend(reach, chosen)),
      h("svg", { viewBox: `0 0 ${ROOM.width} ${ROOM.height}`, role: "img", "aria-label": inWords(marks) },
        axes(at), outlines(reach, chosen, at), links(marks, at), dots(marks, at, studio),
        numbers(marks, at, studio))));
}

/** @param {Hole} hole */
function markOf(hole) {
  return { hole, mix: hole.recipes[hole.chosen]?.colour ?? null };
}

/** @param {Colour} colour */
function planePoint({ lab }) {
  return /** @type {Corner} */ ([lab[1], lab[2]]);
}

/** @param {ToPlane} at */
function axes(at) {
  const { x, y } = at([0, 0]);
  return h("g", { key: "axes", class: "axes" },
    h("path", { d: `M0,${y}H${ROOM.width}M${x},0V${ROOM.height}` }),
    h("text", { x: ROOM.width - 2, y: y - 5, class: "end" }, "redder"),
    h("text", { x: 2, y: y - 5 }, "greener"),
    h("text", { x: x + 5, y: 12 }, "yellower"),
    h("text", { x: x + 5, y: ROOM.height - 4 }, "bluer"));
}

/** @param {Outlines | null} reach @param {Hole | null} chosen @param {ToPlane} at */
function outlines(reach, chosen, at) {
  const level = chosen && reach ? levelOf(reach, chosen) : null;
  return h("g", { key: "outlines", class: "outlines" },
    h("path", { class: "whole", d: outlinePath(reach?.outline, at) }),
    level && h("path", { class: "level", d: outlinePath(level.outline, at) }));
}

/** @param {Outlines} reach @param {Hole} hole */
function levelOf(reach, hole) {
  /** @param {{ munsell_value: number }} level */
  const away = (level) => Math.abs(level.munsell_value - hole.munsell_value);
  return reach.by_value.reduce((best, level) => (away(level) < away(best) ? level : best), reach.by_value[0]);
}

/** @param {Mark[]} marks @param {ToPlane} at */
function links(marks, at) {
  const withMix = marks.flatMap(({ hole, mix }) => (mix ? [{ hole, mix }] : []));
  return h("g", { key: "links", class: "links" }, withMix.map(({ hole, mix }) => {
    const [from, to] = [at(planePoint(hole.colour)), at(planePoint(mix))];
    return h("g", { key: hole.key },
      h("path", { d: `M${from.x},${from.y}L${to.x},${to.y}` }),
      h("rect", { x: to.x - 4, y: to.y - 4, width: 8, height: 8, ...painted(mix) }));
  }));
}

/** @param {Mark[]} marks @param {ToPlane} at @param {Studio} studio */
function dots(marks, at, studio) {
  return h("g", { key: "dots", class: "dots" }, marks.map(({ hole }) => {
    const { x, y } = at(planePoint(hole.colour));
    const chosen = hole.key === studio.chosen;
    return h("circle", {
      key: hole.key,
      cx: x, cy: y, r: chosen ? DOT + 2 : DOT,
      class: chosen && "chosen",
      onclick: () => studio.choose(hole.key),
      ...painted(hole.colour),
    });
  }));
}

/** @param {Mark[]} marks @param {ToPlane} at @param {Studio} studio */
function numbers(marks, at, studio) {
  const points = marks.map(({ hole }) => ({ ...at(planePoint(hole.colour)), radius: DOT + 1 }));
  const places = placeLabels(points, FIGURE, ROOM);
  return h("g", { key: "numbers", class: "numbers" },
    marks.map(({ hole }, i) => figure(hole, points[i], places[i], studio)));
}

/** @param {Hole} hole @param {Point} point @param {Point} place @param {Studio} studio */
function figure(hole, point, place, studio) {
  const width = 8 + 8 * String(hole.number).length;
  return h("g", { key: hole.key, class: hole.key === studio.chosen && "chosen" },
    h("path", { d: `M${point.x},${point.y}L${place.x},${place.y}` }),
    h("rect", { x: place.x - width / 2, y: place.y - 7, width, height: 14 }),
    h("text", { x: place.x, y: place.y + 4.2 }, hole.number));
}

/** @param {Outlines | null} reach @param {Hole | null} chosen */
function legend(reach, chosen) {
  if (!reach) return h("p", { class: "small" }, "What the tubes reach is being reckoned …");
  /** @param {Child} mark @param {string} words */
  const entry = (mark, words) => h("li", { key: words },
    h("svg", { viewBox: "0 0 20 12", "aria-hidden": true }, mark), words);
  return h("ul", { class: "legend small" },
    entry(h("circle", { cx: 10, cy: 6, r: 5 }), "the photo"),
    entry(h("rect", { x: 6, y: 2, width: 8, height: 8 }), "its mix"),
    entry(h("path", { d: "M0,6H20" }), "all your tubes reach"),
    chosen && entry(h("path", { class: "heavy", d: "M0,6H20" }), levelWords(levelOf(reach, chosen))));
}

/** @param {Outlines["by_value"][number]} level */
function levelWords({ munsell_value, outline }) {
  return `${outline.length ? "at" : "nothing at"} value ${munsell_value}`;
}

/** @param {Mark[]} marks */
function inWords(marks) {
  if (!marks.length) return "No holes yet.";
  /** @param {Mark} mark */
  const one = ({ hole }) => `${hole.number}, ${hole.words}${hole.in_gamut === false ? ", out of reach" : ""}`;
  return `Holes by hue and chroma: ${marks.map(one).join("; ")}.`;
}
