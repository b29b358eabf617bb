/**
 * The fifth step: making the box, and how well each tube is known by it.
 */
import { h } from "../../core/dom.js";
import { tubePaint } from "../../parts/box/tube.js";
import { doubts } from "../../parts/slip/said.js";
import { lightChoice } from "./lights.js";
import { step } from "./step.js";

const LEAST_SHOWN = 0.05;

/**
 * Describe the way to make the box, and the box once it is made.
 *
 * @param {TubesView} view
 */
export function madeStep(view) {
  const { bench, studio } = view;
  const { state } = bench;
  return step({ part: "made", number: 5, title: "Your box", bench },
    !state?.photos.length && h("p", { key: "first", class: "small" },
      "Made from your dabs, once their photo is read. It takes some seconds."),
    state && state.photos.length > 0 && form(bench, studio),
    state?.made && result(state.made, studio));
}

/** @param {Bench} bench @param {Studio} studio */
function form(bench, studio) {
  const { made, box } = bench.now;
  /** @param {On<SubmitEvent, HTMLFormElement>} event */
  const make = async (event) => {
    event.preventDefault();
    if (bench.doing || !(await bench.make(String(new FormData(event.target).get("name")).trim()))) return;
    const { made: fresh } = bench.now;
    if (fresh) await studio.change("box", { box: fresh.id });
  };
  return h("form", { key: "form", class: "bench-form", onsubmit: make },
    lightChoice(bench),
    h("label", { class: "bench-choice" }, "Name of the box",
      h("input", { name: "name", maxlength: 80, autocomplete: "off", value: made?.name ?? `${box.name}, my tubes` })),
    h("p", { class: "row" },
      h("button", { type: "submit", class: (!made || made.is_behind) && "strong", "aria-disabled": bench.doing !== null },
        made ? "Make it again" : "Make the box"),
      made?.is_behind && h("span", { key: "behind", class: "flag" },
        h("span", { class: "sign", "aria-hidden": true }, "!"),
        h("span", null, "Something was changed since it was made."))));
}

/** @param {BoxMade} made @param {Studio} studio */
function result(made, studio) {
  const use = () => studio.change("box", { box: made.id });
  return h("div", { key: "result", class: "bench-result" },
    h("table", { class: "bench-known" },
      h("caption", { class: "unseen" }, `The tubes of the box ${made.name}`),
      h("thead", null, h("tr", null,
        h("th", { scope: "col" }, h("span", { class: "unseen" }, "Colour")),
        h("th", { scope: "col" }, "Tube"),
        h("th", { scope: "col", class: "bench-figure" }, "Dabs"),
        h("th", { scope: "col", class: "bench-figure" }, "Missed by"))),
      h("tbody", null, made.tubes.map(tubeRow))),
    h("div", { class: "bench-flags" }, doubts(made.flags)),
    studio.state.box.name === made.name && !made.is_behind
      ? h("p", { key: "used", class: "bench-use" }, "This painting is mixed from it. ", h("a", { class: "button", href: `#/${studio.id}/mix` }, "On to Mix"))
      : h("button", { key: "use", type: "button", class: "strong bench-use", onclick: use }, "Use it for this painting"));
}

/** @param {TubeMade} tube */
function tubeRow(tube) {
  return h("tr", { key: tube.tube },
    h("td", null, tubePaint(tube)),
    h("th", { scope: "row" },
      h("span", { class: "bench-tube-name" }, tube.tube),
      tube.strength_words && h("span", { class: "small" }, tube.strength_words),
      h("div", { class: "bench-flags" }, doubts(tube.flags))),
    h("td", { class: "bench-figure" }, tube.swatches),
    h("td", { class: "bench-figure" }, missed(tube.residual_delta_e_00), h("span", { class: "small" }, " ΔE00")));
}

/** @param {number} miss */
function missed(miss) {
  return miss < LEAST_SHOWN ? "0.0" : miss.toFixed(1);
}
