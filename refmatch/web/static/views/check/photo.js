/**
 * How a photo of dabs comes in, and what the painter knows of it.
 */
import { h, pressBefore } from "../../core/dom.js";
import { terms } from "./terms.js";
import { word } from "./word.js";

const KINDS = "image/*,.heic,.heif,.avif,.tif,.tiff,.dng";

/**
 * Describe the first panel.
 *
 * @param {CheckView} view
 */
export function photoPanel(view) {
  const { checks } = view;
  return h("section", {
    key: "photo",
    class: ["panel", "check-panel", view.over && "over"],
    "aria-labelledby": "check-photo",
  },
    h("h2", { id: "check-photo" }, "A photo of your dabs"),
    h("p", { class: "small" },
      "Dab each puddle on the dab card, or on anything with your grey card beside it. Photograph it in one even ",
      "light, sharp and without shine. ",
      h("span", { class: "check-by-mouse" }, "Drop the photo anywhere on this page.")),
    h("div", { key: "pick", class: "row" },
      picker("choose", "Choose a photo", {}, view),
      picker("take", "Take a photo", { capture: "environment" }, view)),
    word("photo", checks),
    checks.state && !checks.state.photo && h("div", { key: "gone" }, word("seen", checks)),
    terms(view),
    checks.state && jumps());
}

/** Where all stands in one column, the way to what is far down. */
function jumps() {
  /** @param {string} id */
  const to = (id) => () => {
    const heading = document.getElementById(id);
    heading?.closest("section")?.scrollIntoView();
    heading?.focus();
  };
  return h("nav", { key: "jump", class: "check-jump", "aria-label": "On this page" },
    h("button", { type: "button", onclick: to("check-puddles") }, "The puddles"),
    h("button", { type: "button", onclick: to("check-card") }, "The dab card"));
}

/** @param {string} key @param {string} name @param {Props} more @param {CheckView} view */
function picker(key, name, more, view) {
  const off = !view.checks.state || view.checks.doing !== null;
  return h("span", { key, class: key === "take" && "check-take" },
    h("input", {
      type: "file",
      accept: KINDS,
      hidden: true,
      "aria-label": name,
      ...more,
      onchange: (event) => take(event.target, view),
    }),
    h("button", {
      type: "button",
      class: key === "choose" && "strong",
      "aria-disabled": off,
      onclick: (event) => off || pressBefore(event.currentTarget),
    }, name));
}

/** @param {HTMLInputElement} input @param {CheckView} view */
function take(input, view) {
  const file = input.files?.[0];
  input.value = "";
  if (file) view.lay(file);
}
