/**
 * The fourth step: every dab as it was found and read, beside its photo.
 */
import { h } from "../../core/dom.js";
import { painted } from "../../core/paint.js";
import { mendPart } from "./mend.js";
import { photoSeen } from "./seen.js";
import { step } from "./step.js";

/**
 * Describe the photo with every window drawn, and the list of dabs in the order of the pages.
 *
 * @param {TubesView} view
 */
export function dabStep(view) {
  const { bench } = view;
  const title = "Every dab";
  if (!bench.state?.photos.length) {
    return step({ part: "dabs", number: 4, title, bench },
      h("p", { class: "small" }, "Once the photo is read, each dab stands here with its colour, and can be mended."));
  }
  return step({ part: "dabs", number: 4, title, bench },
    h("p", { class: "small" }, `${counts(bench.state.dabs)} `, !bench.state.made && "Each colour is as the photo has it by the grey card alone. ",
      bench.state.made && "Where two stand edge to edge, the left is as the camera, known by now, saw the dab, the right as your box has it. ",
      "Is one wrong? Click it."),
    h("div", { key: "seen", class: "bench-seen" },
      photoSeen(view),
      table(view)));
}

/** @param {Dab[]} dabs */
function counts(dabs) {
  const words = { read: "read", empty: "empty", "left out": "left out", "no photo": "not photographed" };
  const counted = Object.entries(words)
    .map(([state, word]) => ({ count: dabs.filter((dab) => dab.state === state).length, word }))
    .filter(({ count }) => count > 0)
    .map(({ count, word }) => `${count} ${word}`);
  return `${counted.join(", ")}.`;
}

/** @param {TubesView} view */
function table(view) {
  const state = view.bench.now;
  return h("table", { key: "table", class: "bench-dabs" },
    h("caption", { class: "unseen" }, "Dabs in the order of the card"),
    h("thead", null, h("tr", null,
      h("th", { scope: "col" }, "Dab"),
      h("th", { scope: "col" }, "Colour"),
      h("th", { scope: "col" }, "Paint"),
      h("th", { scope: "col", class: "bench-figure" }, state.made && "missed by"))),
    h("tbody", null, state.dabs.flatMap((dab) => [
      row(dab, view),
      view.dab === dab.dab && h("tr", { key: `mend-${dab.dab}`, class: "bench-mend-row" },
        h("td", { colspan: 4 }, mendPart(dab, view))),
    ])));
}

/** @param {Dab} dab @param {TubesView} view */
function row(dab, view) {
  const open = view.dab === dab.dab;
  const { tube, words } = dab.painted;
  return h("tr", { key: dab.dab, class: [dab.state === "left out" && "left-out", open && "open"] },
    h("td", null, h("button", {
      type: "button",
      id: `dab-${dab.dab}`,
      "aria-expanded": open,
      "aria-label": `Dab ${dab.dab + 1}, ${tube}, ${words}: ${dab.state}`,
      onclick: () => view.open(open ? null : dab.dab),
    }, dab.dab + 1)),
    h("td", null, swatch(dab)),
    h("th", { scope: "row" }, h("span", { class: "bench-tube-name" }, tube), h("span", { class: "small" }, words), told(dab)),
    h("td", { class: "bench-figure" }, residual(dab)));
}

/**
 * The dab as read; once the box is made, as seen and as the box has it, edge to edge.
 *
 * @param {Dab} dab
 */
function swatch({ colour, seen, found }) {
  const halves = found ? [seen, found] : [colour];
  return h("span", { class: "bench-swatch", "aria-hidden": true },
    halves.map((each, i) => each && h("span", { key: i, class: "half", ...painted(each) })));
}

/** @param {Dab} dab */
function told({ state, mend, flags }) {
  const words = [
    state !== "read" && state,
    mend?.paint && "other paint than printed",
    mend?.spot && "read elsewhere",
  ].filter(Boolean);
  return [
    words.length > 0 && h("span", { key: "state", class: "bench-state" }, words.join(", ")),
    state === "read" && flags.map((flag) => h("span", { key: flag.name, class: "small flag" },
      h("span", { class: "sign", "aria-hidden": true }, "!"), h("span", null, flag.text))),
  ];
}

/** @param {Dab} dab */
function residual({ residual_delta_e_00: miss }) {
  return miss !== null && [miss.toFixed(1), h("span", { class: "small" }, " ΔE00")];
}
