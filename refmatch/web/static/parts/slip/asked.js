/**
 * Asking for a change from a control that already shows it.
 *
 * A box that was ticked is ticked before the server has said yes; if it says no, the
 * control must show again what is true.
 */

/** @typedef {HTMLInputElement | HTMLSelectElement} Control */

/**
 * Ask for a change; on a no, put the control back. Resolves to the new state, or null.
 *
 * @param {Studio} studio
 * @param {On<Event, Control>} event
 * @param {string} what
 * @param {Fields} fields
 */
export async function asked(studio, event, what, fields) {
  const control = event.target;
  const took = await studio.change(what, fields);
  if (!took) putBack(control);
  return took;
}

/** @param {Control} control */
function putBack(control) {
  if (control instanceof HTMLSelectElement) control.value = control.dataset.now ?? control.value;
  else if (control.type === "checkbox") control.checked = "now" in control.dataset;
  else if (control.type === "radio") markedOf(control).checked = true;
  else control.value = control.dataset.now ?? control.defaultValue;
}

/** @param {HTMLInputElement} radio */
function markedOf(radio) {
  const group = radio.closest("fieldset, [role=radiogroup]");
  const marked = group?.querySelector(`input[name="${radio.name}"][data-now]`);
  return marked instanceof HTMLInputElement ? marked : radio;
}
