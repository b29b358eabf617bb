/**
 * An open slip keeps its height: one with fewer lines than another takes as much room, so that
 * what lies under it does not jump when another hole is chosen or mixes are found anew.
 *
 * What the painter unfolds makes its slip taller for as long as it is open, and no other.
 */

/** The tallest open slip so far, by its width: two views show slips of two widths. */
const tallest = new Map();

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
  if (!slip.classList.contains("open")) {
    slip.style.minHeight = "";
    return;
  }
  const width = Math.round(slip.clientWidth);
  if (!slip.querySelector("details[open], [aria-expanded='true']:not(.slip-number)")) {
    tallest.set(width, Math.max(tallest.get(width) ?? 0, Math.ceil(slip.getBoundingClientRect().height)));
  }
  slip.style.minHeight = `${tallest.get(width) ?? 0}px`;
}
