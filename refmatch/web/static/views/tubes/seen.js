/**
 * A page's photo with the outline of every window; the chosen one strong, and a spot to point with.
 */
import { h } from "../../core/dom.js";
import { ring } from "./spot.js";

/** @typedef {Dab & { outline: Corner[] }} FoundDab */

/**
 * Describe the photo of the page that the chosen dab is on; a click chooses, or points.
 *
 * @param {TubesView} view
 */
export function photoSeen(view) {
  const { bench, pointing } = view;
  const photo = view.photo;
  if (!photo) return null;
  const dabs = bench.now.dabs.flatMap((dab) => (
    dab.outline && dab.page === photo.page ? [{ ...dab, outline: dab.outline }] : []));
  return h("figure", { key: "photo", class: "bench-photo" },
    bench.now.photos.length > 1 && pages(view, photo),
    h("div", {
      key: photo.key,
      class: ["bench-picture", pointing && "pointing"],
      style: { "--photo-ratio": (photo.width_px / photo.height_px).toFixed(4) },
      onclick: (event) => click(event, view, photo, dabs),
    },
      h("img", {
        src: bench.url(`photos/${photo.key}.jpg`),
        alt: `The photo of page ${photo.page}, ${dabs.length} dabs found in it`,
        width: photo.width_px,
        height: photo.height_px,
      }),
      h("svg", { viewBox: `0 0 ${photo.width_px} ${photo.height_px}`, "aria-hidden": true },
        dabs.flatMap((dab) => outline(dab, dab.dab === view.dab))),
      dabs.map((dab) => number(dab, photo, dab.dab === view.dab)),
      pointing && ring(view, photo, pointing)),
    h("figcaption", { class: "small" }, pointing
      ? "Click where the paint is, or move the ring with the arrow keys."
      : "Click a window to see what was read in it."));
}

/** @param {TubesView} view @param {PagePhoto} photo */
function pages(view, photo) {
  return h("div", { key: "pages", class: "row", role: "group", "aria-label": "Page" },
    view.bench.now.photos.map((each) => h("button", {
      key: each.key,
      type: "button",
      "aria-pressed": each.key === photo.key,
      onclick: () => view.turn(each.page),
    }, `Page ${each.page}`)));
}

/**
 * A black line and a white one within it, so that it shows on any paint.
 *
 * @param {FoundDab} dab
 * @param {boolean} chosen
 */
function outline({ dab, outline: corners, state, mend }, chosen) {
  const points = corners.map((corner) => corner.join(",")).join(" ");
  const kind = chosen ? "chosen" : state === "read" ? "read" : "not-read";
  const spot = mend?.spot;
  return [
    h("polygon", { key: `under-${dab}`, points, class: `under ${kind}` }),
    h("polygon", { key: `over-${dab}`, points, class: `over ${kind}` }),
    spot && h("circle", { key: `spot-under-${dab}`, ...circle(spot), class: "under read" }),
    spot && h("circle", { key: `spot-over-${dab}`, ...circle(spot), class: "over read" }),
  ].filter(Boolean);
}

/** @param {Spot} spot */
function circle({ x_px, y_px, diameter_px }) {
  return { cx: x_px, cy: y_px, r: diameter_px / 2 };
}

/** @param {FoundDab} dab @param {Extent} photo @param {boolean} chosen */
function number({ dab, outline: corners }, photo, chosen) {
  const top = corners.reduce((best, corner) => (corner[0] + corner[1] < best[0] + best[1] ? corner : best));
  return h("span", {
    key: `number-${dab}`,
    class: ["bench-number", chosen && "chosen"],
    "aria-hidden": true,
    style: { left: percent(top[0], photo.width_px), top: percent(top[1], photo.height_px) },
  }, dab + 1);
}

/** @param {On<MouseEvent>} event @param {TubesView} view @param {Extent} photo @param {FoundDab[]} dabs */
function click(event, view, photo, dabs) {
  if (event.target.closest("button")) return;
  const box = event.currentTarget.getBoundingClientRect();
  const point = [
    ((event.clientX - box.left) / box.width) * photo.width_px,
    ((event.clientY - box.top) / box.height) * photo.height_px,
  ];
  if (view.pointing) {
    view.point({ ...view.pointing, x_px: point[0], y_px: point[1] });
    return;
  }
  const found = dabs.find((dab) => within(point, dab.outline));
  if (found) view.open(found.dab, true);
}

/**
 * Whether a point lies within a convex outline: on the same side of all its edges.
 *
 * @param {number[]} point
 * @param {Corner[]} corners
 */
function within([x, y], corners) {
  const sides = corners.map(([x1, y1], i) => {
    const [x2, y2] = corners[(i + 1) % corners.length];
    return (x2 - x1) * (y - y1) - (y2 - y1) * (x - x1) > 0;
  });
  return sides.every((side) => side === sides[0]);
}

/** @param {number} part @param {number} whole */
function percent(part, whole) {
  return `${(100 * part) / whole}%`;
}
