/**
 * The ring by which a painter points to where a dab's paint is.
 */
import { h } from "../../core/dom.js";
import { arrows, keys } from "../../core/keys.js";

const STEP = 0.004;
const FAR = 5;

/**
 * Where the ring stands at first: in the middle of the window, as wide as is surely within.
 *
 * @param {Dab} dab
 */
export function spotOf({ outline, mend }) {
  if (mend?.spot) return mend.spot;
  if (!outline) return null;
  /** @param {number} i */
  const mean = (i) => outline.reduce((sum, corner) => sum + corner[i], 0) / outline.length;
  const sides = outline.map(([x, y], i) => {
    const [x2, y2] = outline[(i + 1) % outline.length];
    return Math.hypot(x2 - x, y2 - y);
  });
  return { x_px: mean(0), y_px: mean(1), diameter_px: Math.min(...sides) / 2 };
}

/**
 * Describe the ring; `view.point(spot)` hears where it is moved to.
 *
 * @param {TubesView} view
 * @param {Extent} photo
 * @param {Spot} spot
 */
export function ring(view, photo, { x_px, y_px, diameter_px }) {
  /** @param {number} part @param {number} whole */
  const share = (part, whole) => `${(100 * part) / whole}%`;
  return h("button", {
    key: "ring",
    type: "button",
    class: "bench-ring",
    "aria-label": `Where the paint of dab ${(view.dab ?? 0) + 1} is. Arrow keys move the ring, with Shift further.`,
    style: {
      left: share(x_px, photo.width_px),
      top: share(y_px, photo.height_px),
      "--ring": share(diameter_px, photo.width_px),
    },
    made: (element) => keys(element, arrows((dx, dy, event) => nudge(view, photo, [dx, dy], event.shiftKey))),
  });
}

/** @param {TubesView} view @param {Extent} photo @param {number[]} way @param {boolean} far */
function nudge(view, photo, [dx, dy], far) {
  const step = photo.width_px * STEP * (far ? FAR : 1);
  const { pointing } = view;
  if (!pointing) return;
  const { x_px, y_px } = pointing;
  view.point({
    ...pointing,
    x_px: clamp(x_px + dx * step, photo.width_px),
    y_px: clamp(y_px + dy * step, photo.height_px),
  });
}

/** @param {number} value @param {number} most */
function clamp(value, most) {
  return Math.min(most, Math.max(0, value));
}
