/**
 * Which tubes one mix may use, must do without, or must have.
 */
import { h } from "../../core/dom.js";
import { painted } from "../../core/paint.js";
import { asked } from "./asked.js";

const WAYS = { free: "free", without: "hold out", insist: "insist" };

/**
 * For every tube on the table three states, folded away until wanted.
 *
 * @param {Shared} shared
 */
export function tubesPart(shared) {
  const { hole, state } = shared;
  const [on, away] = [false, true].map((gone) => state.box.tubes.filter((tube) => tube.away === gone));
  return h("details", { key: "tubes", class: "tubes-of" },
    h("summary", null, "Tubes for this mix", h("span", { class: "small" }, ` ${told(hole)}`)),
    h("div", { class: "tube-rows" }, on.map((tube) => row(tube, shared))),
    away.length > 0 && h("p", { class: "small" },
      `Not on the table today: ${away.map((tube) => tube.tube).join(", ")}.`));
}

/** @param {Hole} hole */
function told({ without, insist }) {
  const parts = [
    insist.length > 0 && `with ${insist.join(", ")}`,
    without.length > 0 && `without ${without.join(", ")}`,
  ].filter(Boolean);
  return parts.length ? parts.join("; ") : "all free";
}

/** @param {TableTube} tube @param {Shared} shared */
function row(tube, { hole, studio }) {
  const now = /** @type {const} */ (["without", "insist"]).find((way) => hole[way].includes(tube.tube)) ?? "free";
  return h("div", {
    key: tube.tube,
    class: ["tube-row", now],
    role: "radiogroup",
    "aria-label": tube.tube,
  },
  h("span", { class: "chip", "aria-hidden": true, ...painted(tube.masstone) }),
  h("span", { class: "tube-name", "aria-hidden": true }, tube.tube),
  h("span", { class: "ways" }, Object.entries(WAYS).map(([way, words]) => h("label", {
    key: way,
    class: ["way", way === now && "chosen"],
  },
  h("input", {
    type: "radio",
    class: "veiled",
    name: `tube-${hole.key}-${tube.tube}`,
    checked: way === now,
    "data-now": way === now,
    onchange: (event) => asked(studio, event, "habits", habitsWith(hole, tube.tube, way)),
  }), words))));
}

/** @param {Hole} hole @param {string} name @param {string} way */
function habitsWith(hole, name, way) {
  /** @param {"without" | "insist"} list @param {string} wanted */
  const held = (list, wanted) => {
    const rest = hole[list].filter((other) => other !== name);
    return way === wanted ? [...rest, name] : rest;
  };
  return { hole: hole.key, without: held("without", "without"), insist: held("insist", "insist") };
}
