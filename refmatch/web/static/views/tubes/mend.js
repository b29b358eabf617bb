/**
 * Mending one dab: leave it out, say what paint it really is, point to where it is.
 */
import { h } from "../../core/dom.js";

/** @typedef {(what: string, fields: Fields) => Promise<boolean>} Mending */

/**
 * Describe what can be said of the chosen dab.
 *
 * @param {Dab} dab
 * @param {TubesView} view
 */
export function mendPart(dab, view) {
  const { bench } = view;
  if (dab.state === "no photo") return h("p", null, "No photo shows its page yet.");
  /** @param {string} what @param {Fields} fields */
  const change = (what, fields) => bench.change("dabs", what, { dab: dab.dab, ...fields });
  return h("div", { class: "bench-mend", role: "group", "aria-label": `Dab ${dab.dab + 1}` },
    h("p", { class: "small" }, `Printed there: ${dab.printed.tube}, ${dab.printed.words}.`),
    otherPaint(dab, bench, change),
    elsewhere(view),
    h("div", { key: "ways", class: "row" },
      h("button", {
        type: "button",
        onclick: () => change("leave_out", { left_out: dab.state !== "left out" }),
      }, dab.state === "left out" ? "Take it again" : "Leave it out"),
      !view.pointing && h("button", { key: "point", type: "button", onclick: () => view.beginPointing(dab) },
        "Point to the paint"),
      dab.mend && h("button", { key: "back", type: "button", onclick: () => putBack(view, change) }, "Put all back")));
}

/** @param {TubesView} view @param {Mending} change */
async function putBack(view, change) {
  view.endPointing();
  await change("put_back", {});
}

/** @param {Dab} dab @param {Bench} bench @param {Mending} change */
function otherPaint({ dab, painted }, bench, change) {
  /** @param {On<SubmitEvent, HTMLFormElement>} event */
  const take = (event) => {
    event.preventDefault();
    const said = new FormData(event.target);
    change("painted", { tube: said.get("tube"), parts: Number(said.get("parts")), white_parts: Number(said.get("white")) });
  };
  return h("form", { key: `paint-${dab}-${painted.tube}-${painted.words}`, class: "row", onsubmit: take },
    h("label", null, "It is",
      h("select", { name: "tube", value: painted.tube },
        bench.now.box.tubes.map(({ tube }) => h("option", { key: tube, value: tube, selected: tube === painted.tube }, tube)))),
    h("label", null, count("parts", painted.parts, 1), "parts"),
    h("label", null, "to", count("white", painted.white_parts, 0), "of white"),
    h("button", { type: "submit" }, "Say so"));
}

/** @param {string} name @param {number} value @param {number} min */
function count(name, value, min) {
  return h("input", { name, type: "number", min, max: 99, step: 1, value: String(value), inputmode: "numeric" });
}

/** @param {TubesView} view */
function elsewhere(view) {
  const { pointing } = view;
  if (!pointing) return null;
  return h("div", { key: "elsewhere", class: "row" },
    h("label", null, "How wide",
      h("input", {
        type: "range",
        min: 8,
        max: Math.round((view.photo?.width_px ?? 0) / 12),
        value: String(Math.round(pointing.diameter_px)),
        oninput: (event) => view.point({ ...pointing, diameter_px: Number(event.target.value) }),
      })),
    h("button", { type: "button", onclick: () => view.endPointing() }, "Done pointing"));
}
