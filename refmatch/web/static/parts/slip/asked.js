/**
 * Asking for a change from a control that already shows it.
 *
 * A box that was ticked is ticked before the server has said yes; if it says no, the
 * control must show again what is true.
 */

/** Ask for a change; on a no, put the control back. Resolves to the new state, or null. */
export async function asked(studio, event, what, fields) {
  const control = event.target;
  const took = await studio.change(what, fields);
  if (!took) putBack(control);
  return took;
}

function putBack(control) {
  if (control.type === "checkbox") control.checked = "now" in control.dataset;
  else if (control.type === "radio") markedOf(control).checked = true;
  else control.value = control.dataset.now ?? control.defaultValue;
}

function markedOf(radio) {
  const group = radio.closest("fieldset, [role=radiogroup]");
  return group.querySelector(`input[name="${radio.name}"][data-now]`) ?? radio;
}
