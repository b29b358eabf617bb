/**
 * Where to write small labels so that none lies on another or on a mark.
 *
 * Each point tries eight places round it, nearest first and then a little further out;
 * the one with the least overlap wins. Points come first come, first served.
 */

/** @typedef {Point & { radius: number }} Marked */
/** @typedef {{ left: number, right: number, top: number, bottom: number }} Rectangle */

const WAYS = [[0, -1], [1, 0], [0, 1], [-1, 0], [1, -1], [1, 1], [-1, 1], [-1, -1]];

/**
 * Return a `{x, y}` (the label's middle) for each of `points` (`{x, y, radius}`), with
 * labels of `size` `{width, height}`, inside `room` `{width, height}`. All in CSS pixels.
 *
 * @param {Marked[]} points
 * @param {Size} size
 * @param {Size} room
 */
export function placeLabels(points, size, room) {
  const marks = points.map((point) => box(point, { width: point.radius * 2, height: point.radius * 2 }));
  /** @type {Rectangle[]} */
  const laid = [];
  return points.map((point, i) => {
    const others = marks.filter((_, j) => j !== i).concat(laid);
    const spots = [0, 0.7, 1.6, 2.6].flatMap((out) => WAYS.map((way) => spotAt(point, way, size, out)));
    const best = least(spots, (spot) => cost(box(spot, size), others, room));
    laid.push(box(best, size));
    return best;
  });
}

/** @param {Marked} point @param {number[]} way @param {Size} size @param {number} out */
function spotAt(point, [dx, dy], size, out) {
  const reach = point.radius + 2 + out * size.height;
  const slant = dx && dy ? 0.75 : 1;
  return {
    x: point.x + dx * (reach * slant + size.width / 2),
    y: point.y + dy * (reach * slant + size.height / 2),
  };
}

/** @param {Point[]} spots @param {(spot: Point) => number} costOf */
function least(spots, costOf) {
  let best = spots[0];
  let lowest = Infinity;
  spots.forEach((spot, i) => {
    const value = costOf(spot) + i * 0.5;
    if (value < lowest) [best, lowest] = [spot, value];
  });
  return best;
}

/** @param {Rectangle} label @param {Rectangle[]} others @param {Size} room */
function cost(label, others, room) {
  const covered = others.reduce((sum, other) => sum + overlap(label, other), 0);
  const inside = overlap(label, { left: 0, top: 0, right: room.width, bottom: room.height });
  const whole = (label.right - label.left) * (label.bottom - label.top);
  return covered * 4 + (whole - inside) * 8;
}

/** @param {Point} point @param {Size} size */
function box({ x, y }, { width, height }) {
  return { left: x - width / 2, right: x + width / 2, top: y - height / 2, bottom: y + height / 2 };
}

/** @param {Rectangle} a @param {Rectangle} b */
function overlap(a, b) {
  const width = Math.min(a.right, b.right) - Math.max(a.left, b.left);
  const height = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
  return width > 0 && height > 0 ? width * height : 0;
}
