/**
 * What the painter knows of a photo of dabs: how the paint dried, and in which light it lies.
 */
import { h } from "../../core/dom.js";

const DAYLIGHT_K = 5500;
const STATES = { wet: "wet, as mixed", dry: "dry, some shine left", sunk: "sunk, gone matt" };
const LIGHTS = {
  "": "I do not know",
  same: "The box's own photo: same phone, same light",
  kelvin: "Of so many kelvins",
  A: "A light bulb (CIE A)",
  LED: "A white LED",
};

/** What is known before anybody has said anything. */
export const NOTHING_SAID = { state: "wet", light: "" };

/**
 * Describe the two choices; `view.say({ state, light })` hears them.
 *
 * @param {CheckView} view
 */
export function terms(view) {
  const { state, light } = view.terms;
  const kind = light in LIGHTS ? light : "kelvin";
  const offered = Object.entries(LIGHTS).filter(([key]) => key !== "same" || view.checks.state?.has_same_light);
  return [
    h("fieldset", { key: "state", class: "check-choices" },
      h("legend", null, "The dabs are"),
      Object.entries(STATES).map(([key, words]) => h("label", { key },
        h("input", {
          type: "radio",
          name: "check-state",
          checked: key === state,
          onchange: () => view.say({ state: key }),
        }), words))),
    h("div", { key: "light", class: "row" },
      h("label", { class: "check-choice" }, "Light of the photo",
        h("select", {
          value: kind,
          onchange: ({ target }) => view.say({ light: target.value === "kelvin" ? String(DAYLIGHT_K) : target.value }),
        }, offered.map(([key, words]) => h("option", { key, value: key, selected: key === kind }, words)))),
      kind === "kelvin" && h("label", { key: "kelvin" },
        h("input", {
          type: "number",
          min: 1800,
          max: 12000,
          step: 100,
          inputmode: "numeric",
          "aria-label": "Colour temperature of the light in kelvin",
          value: light,
          onchange: ({ target }) => view.say({ light: target.value || String(DAYLIGHT_K) }),
        }), "K")),
  ];
}
