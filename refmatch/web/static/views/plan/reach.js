/**
 * What palettes reach, in hue and chroma, and where the colours to mix lie in it.
 *
 * The plane is CIELAB's: redder to the right, yellower up, stronger further out. Outlines
 * are lines of ink, told apart by their strokes; only the dots have colour.
 */
import { h } from "../../core/dom.js";
import { painted } from "../../core/paint.js";
import { outlinePath, planeFor, ROOM } from "../../parts/chart/plane.js";
import { placeLabels } from "../../parts/labels.js";

const DOT = 5.5;
const FIGURE = { width: 18, height: 14 };
const STROKES = ["this", "box", "dashed", "dotted", "chain"];

/**
 * The panel of the picture and its legend.
 *
 * @param {PlanMade} found
 */
export function reachPanel({ plan: { reaches, targets: dots } }) {
  const shown = reaches.slice(0, STROKES.length).map(named);
  const at = planeFor([...shown.flatMap((reach) => reach.outline_ab), ...dots.map(planePoint)]);
  return h("section", { key: "reach", class: "panel plan-panel plan-reach", "aria-labelledby": "plan-reach" },
    h("h2", { id: "plan-reach" }, "What the palette reaches"),
    h("svg", { viewBox: `0 0 ${ROOM.width} ${ROOM.height}`, role: "img", "aria-label": inWords(shown, dots) },
      axes(at),
      h("g", { key: "outlines", class: "plan-outlines" }, shown.map((reach, i) =>
        h("path", { key: reach.name, class: STROKES[i], d: outlinePath(reach.outline_ab, at) }))),
      marks(dots, at)),
    h("ul", { class: "plan-legend small" }, shown.map((reach, i) => h("li", { key: reach.name },
      h("svg", { viewBox: "0 0 34 12", "aria-hidden": true, class: "plan-outlines" }, h("path", { class: STROKES[i], d: "M0,6H34" })),
      h("span", null, h("b", null, reach.name), `: ${reach.legend}`)))),
    h("p", { class: "small" }, "A dot outside an outline is out of that palette’s reach; inside, its value may still be."));
}

/**
 * A reach with its name and what stands beside it; the second is of all tubes.
 *
 * @param {PlanReach} reach
 * @param {number} i
 */
function named(reach, i) {
  return i === 1
    ? { ...reach, name: "the whole box", legend: reach.name }
    : { ...reach, legend: reach.tubes.join(", ") };
}

/** @param {PlanTarget} dot */
function planePoint({ lab: { lab } }) {
  return /** @type {Corner} */ ([lab[1], lab[2]]);
}

/** @param {ToPlane} at */
function axes(at) {
  const { x, y } = at([0, 0]);
  return h("g", { key: "axes", class: "plan-axes" },
    h("path", { d: `M0,${y}H${ROOM.width}M${x},0V${ROOM.height}` }),
    h("text", { x: ROOM.width - 2, y: y + 13, class: "end" }, "redder"),
    h("text", { x: 2, y: y + 13 }, "greener"),
    h("text", { x: x + 5, y: 12 }, "yellower"),
    h("text", { x: x + 5, y: ROOM.height - 4 }, "bluer"));
}

/**
 * The dots, and their numbers where they lie on no dot and no other number.
 *
 * @param {PlanTarget[]} dots
 * @param {ToPlane} at
 */
function marks(dots, at) {
  const points = dots.map((dot) => ({ ...at(planePoint(dot)), radius: DOT + 1 }));
  const places = placeLabels(points, FIGURE, ROOM);
  return [
    h("g", { key: "lines", class: "plan-axes" }, points.map((point, i) =>
      h("path", { key: i, d: `M${point.x},${point.y}L${places[i].x},${places[i].y}` }))),
    h("g", { key: "dots", class: "plan-dots" }, dots.map((dot, i) =>
      h("circle", { key: dot.number, cx: points[i].x, cy: points[i].y, r: DOT, ...painted(dot.lab) }))),
    h("g", { key: "numbers", class: "plan-numbers" }, dots.map((dot, i) => h("g", { key: dot.number },
      h("rect", { x: places[i].x - FIGURE.width / 2, y: places[i].y - FIGURE.height / 2, ...FIGURE }),
      h("text", { x: places[i].x, y: places[i].y + 4.2 }, dot.number)))),
  ];
}

/** @param {PlanReach[]} reaches @param {PlanTarget[]} dots */
function inWords(reaches, dots) {
  const names = reaches.map((reach) => reach.name).join(", ");
  return `Reach in hue and chroma of ${names}, and the ${dots.length} colours to mix in it.`;
}
