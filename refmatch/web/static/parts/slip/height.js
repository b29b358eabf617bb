/**
 * An open slip keeps its height: another mix or another lamp with fewer lines leaves room at its
 * foot, so that nothing under it jumps while mixes are compared or found anew.
 *
 * What the painter unfolds makes a slip taller only for as long as it is unfolded; closed and
 * opened again, or in a column of another width, it begins anew.
 */

/** @type {WeakMap<Element, { width: number, height: number }>} */
const kept = new WeakMap();

const seen = new ResizeObserver((entries) => {
  for (const { target } of entries) if (target instanceof HTMLElement) settle(target);
});

/**
 * Watch a slip for as long as it is on the page; call once for each.
 *
 * @param {HTMLElement} slip
 */
export function keepHeight(slip) {
  seen.observe(slip);
}

/** @param {HTMLElement} slip */
function settle(slip) {
  const { width, height } = slip.getBoundingClientRect();
  const before = kept.get(slip);
  if (!slip.classList.contains("open") || (before && before.width !== width)) {
    kept.delete(slip);
    slip.style.minHeight = "";
    return;
  }
  if (slip.querySelector("details[open], [aria-expanded='true']:not(.slip-number)")) return;
  if (before && before.height >= height) return;
  kept.set(slip, { width, height });
  slip.style.minHeight = `${height}px`;
}
