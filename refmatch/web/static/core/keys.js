/**
 * Keys by their names: `{ "ArrowLeft": f, "Shift+ArrowLeft": g, "Mod+z": undo }`.
 *
 * Mod is Control, or Command where the machine has one. A function that returns false
 * lets the key go on to do what it usually does.
 */

/** @typedef {Record<string, (event: On<KeyboardEvent>) => unknown>} Keys */

/**
 * Listen for keys on an element; returns the function that stops it.
 *
 * @param {Element | Document} element
 * @param {Keys} map
 */
export function keys(element, map) {
  /** @type {EventListener} */
  const hear = (heard) => {
    const event = /** @type {On<KeyboardEvent>} */ (heard);
    const act = map[nameOf(event)];
    if (!act || act(event) === false) return;
    event.preventDefault();
    event.stopPropagation();
  };
  element.addEventListener("keydown", hear);
  return () => element.removeEventListener("keydown", hear);
}

/**
 * Say whether someone is writing, so that letters and Undo are theirs.
 *
 * @param {Element | null} [target]
 */
export function isWriting(target = document.activeElement) {
  return Boolean(target?.matches?.("input:not([type=range],[type=checkbox],[type=radio]), textarea"));
}

/**
 * The four arrows with a step each: `act(dx, dy, event)`; Shift takes larger steps.
 *
 * @param {(dx: number, dy: number, event: On<KeyboardEvent>) => unknown} act
 */
export function arrows(act) {
  const ways = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
  /** @type {Keys} */
  const map = {};
  for (const [key, [dx, dy]] of Object.entries(ways)) {
    map[key] = map[`Shift+${key}`] = (event) => act(dx, dy, event);
  }
  return map;
}

/** @param {KeyboardEvent} event */
function nameOf(event) {
  const shifted = event.shiftKey && (event.key.length > 1 || event.ctrlKey || event.metaKey);
  const mod = event.ctrlKey || event.metaKey ? "Mod+" : "";
  const key = mod ? event.key.toLowerCase() : event.key;
  return `${mod}${event.altKey ? "Alt+" : ""}${shifted ? "Shift+" : ""}${key}`;
}
