/**
 * The light that mixes are looked at in. The target is a colour of a photo: it has no
 * spectrum, so it cannot follow.
 */
import { h } from "../../core/dom.js";
import { asked } from "./asked.js";

/** The lights by their names in `options.lamp`, in a painter's words. */
export const LAMPS = { D50: "daylight", A: "tungsten lamp", "LED-B3": "white LED lamp" };

/**
 * The choice of light, and what is to be known of it.
 *
 * @param {{ hole: Hole | null, state: State, studio: Studio }} shared
 */
export function lampChoice({ hole, state, studio }) {
  const now = state.options.lamp;
  return h("div", { key: "lamp", class: "lamp row" },
    h("label", null, "Mixes seen in ",
      h("select", {
        "data-now": now,
        value: now,
        "aria-describedby": now === "D50" ? null : `lamp-${hole?.key ?? "all"}`,
        onchange: (event) => asked(studio, event, "options", { lamp: event.target.value }),
      }, Object.entries(LAMPS).map(([key, words]) => h("option", { key, value: key }, words)))),
    now !== "D50" && h("p", { class: "small", id: `lamp-${hole?.key ?? "all"}` },
      "The mix is shown as the lamp makes it look beside white paper; a photo has no spectrum and stays as by day, "
      + "so the two may part though they match by day. All else that is told is for daylight."));
}
