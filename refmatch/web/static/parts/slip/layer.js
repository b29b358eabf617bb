/**
 * Which layer of paint a puddle is for, and what is worked into it.
 */
import { h } from "../../core/dom.js";
import { painted } from "../../core/paint.js";
import { asked } from "./asked.js";

/**
 * Two choices and a share, folded away until wanted; all three are asked for together.
 *
 * @param {Shared} shared
 */
export function layerPart({ hole, state, studio }) {
  /** @param {On<Event, HTMLInputElement | HTMLSelectElement>} event @param {Fields} said */
  const set = (event, said) => asked(studio, event, "layer", {
    hole: hole.key,
    layer: hole.layer,
    medium: hole.medium,
    percent: hole.medium_percent,
    ...said,
  });
  const medium = state.mediums.find(({ key }) => key === (hole.medium || "none"));
  return h("details", { key: "layer", class: "layer-of" },
    h("summary", null, "Layer and medium", h("span", { class: "small" }, ` ${hole.layer_words || "nothing said"}`)),
    h("div", { class: "row" },
      h("label", null, "For the ",
        h("select", {
          value: hole.layer,
          "data-now": hole.layer,
          onchange: (event) => set(event, { layer: event.target.value }),
        },
        h("option", { key: "", value: "" }, "finish, as usual"),
        state.layer_names.map((name) => h("option", { key: name, value: name }, name)))),
      h("label", null, "with ",
        h("select", {
          value: hole.medium || "none",
          "data-now": hole.medium || "none",
          onchange: (event) => set(event, { medium: plain(event.target.value), percent: null }),
        }, state.mediums.map(({ key, name }) => h("option", { key, value: key }, name)))),
      medium && medium.most_percent > 0 && h("label", null,
        h("input", {
          type: "number",
          min: 0,
          max: 90,
          step: 1,
          value: String(hole.medium_percent ?? medium.usual_percent),
          "data-now": String(hole.medium_percent ?? medium.usual_percent),
          onchange: (event) => set(event, { percent: Number(event.target.value) }),
        }), " % of the puddle")),
    passage(hole, studio),
    hole.medium && state.cares.length > 0 && h("details", { key: "care", class: "care" },
      h("summary", { class: "small" }, "Care with mediums"),
      state.cares.map((words) => h("p", { key: words, class: "small" }, words))),
    hole.layer_flags.map((flag) => h("p", { key: flag.text, class: "flag small" },
      h("span", { class: "sign", "aria-hidden": true }, "!"), h("span", null, flag.text))));
}

/**
 * What is dry on the canvas can be what the next sitting's puddle is to meet.
 *
 * @param {Hole} hole @param {Studio} studio
 */
function passage({ key, dry, seen_dry: seen }, studio) {
  if (!dry && !seen) {
    return h("p", { key: "dry", class: "small" }, "To meet this passage again when it is dry: look at a dry dab of it in ",
      h("a", { class: "way-to", href: `#/${studio.id}/check` }, "Check"), ".");
  }
  const [lightness, a, b] = seen?.lab ?? [];
  return h("div", { key: "dry", class: "row" },
    h("span", { class: "chip", "aria-hidden": true, ...painted(/** @type {Colour} */ (dry ?? seen)) }),
    h("span", null, dry ? "This puddle is to meet the dry passage." : "A dry dab of it was seen."),
    dry
      ? h("button", { key: "photo", type: "button", onclick: () => studio.change("dry", { hole: key }) }, "Go back to the photo")
      : h("button", {
        key: "meet", type: "button", onclick: () => studio.change("dry", { hole: key, lightness, a, b }),
      }, "Meet it, not the photo"));
}

/** @param {string} medium */
function plain(medium) {
  return medium === "none" ? "" : medium;
}
