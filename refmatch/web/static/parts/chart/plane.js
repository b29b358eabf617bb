/**
 * The plane of a* and b* on paper: one scale for both, grey in the same place always.
 */

export const ROOM = { width: 360, height: 300 };
const LEAST = 40;

/**
 * Return the way from `[a, b]` to `{x, y}`, with room for all `points`.
 *
 * @param {Corner[]} points
 * @returns {ToPlane}
 */
export function planeFor(points) {
  const rim = 22;
  const [left, right] = reach(points.map(([a]) => a));
  const [low, high] = reach(points.map(([, b]) => b));
  const scale = Math.min((ROOM.width - 2 * rim) / (right - left), (ROOM.height - 2 * rim) / (high - low));
  const middle = { a: (left + right) / 2, b: (low + high) / 2 };
  return ([a, b]) => ({
    x: ROOM.width / 2 + (a - middle.a) * scale,
    y: ROOM.height / 2 - (b - middle.b) * scale,
  });
}

/**
 * A closed path through points of the plane.
 *
 * @param {Corner[] | undefined} outline
 * @param {ToPlane} at
 */
export function outlinePath(outline, at) {
  if (!outline?.length) return "";
  return `M${outline.map((point) => at(point)).map(({ x, y }) => `${x.toFixed(1)},${y.toFixed(1)}`).join("L")}Z`;
}

/** @param {number[]} values */
function reach(values) {
  return [Math.min(-LEAST, ...values), Math.max(LEAST, ...values)];
}
