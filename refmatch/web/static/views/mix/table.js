/**
 * The painter's table: the box, and each of its tubes, out today or away.
 */
import { h } from "../../core/dom.js";
import { startBox } from "../../parts/box/new-box.js";
import { listedWords } from "../../parts/box/words.js";
import { tubePaint, tubeWords } from "../../parts/box/tube.js";
import { asked } from "../../parts/slip/asked.js";

/**
 * The tubes on the table, the choice of box, and the way to a new one.
 *
 * @param {State} state
 * @param {Studio} studio
 * @param {MixStart} start
 */
export function tablePanel(state, studio, start) {
  const { box } = state;
  const out = box.tubes.filter((tube) => !tube.away).length;
  return h("section", { key: "table", class: "panel on-table", "aria-labelledby": "on-table" },
    h("h2", { id: "on-table", tabindex: -1 }, "On the table today"),
    boxChoice(state, studio, start),
    h("p", { class: "small" }, `${out} of ${box.tubes.length} tubes, parts by ${box.parts_by}. `,
      "Untick what is not out: every mix is found anew."),
    h("ul", { class: "tubes" }, box.tubes.map((tube) => row(tube, state, studio))));
}

/** @param {State} state @param {Studio} studio @param {MixStart} start */
function boxChoice(state, studio, start) {
  const now = start.boxes.find((box) => box.name === state.box.name)?.id ?? "own";
  const listed = start.boxes.some((box) => box.id === now);
  return h("div", { class: "row box-choice" },
    h("label", null, "Box ",
      h("select", {
        value: now,
        "data-now": now,
        onchange: (event) => asked(studio, event, "box", { box: event.target.value }),
      },
      !listed && h("option", { key: "own", value: now, disabled: true }, state.box.name),
      start.boxes.map((box) =>
        h("option", { key: box.id, value: box.id }, listedWords(box))))),
    h("button", {
      type: "button",
      disabled: !start.pigments.length,
      onclick: () => startBox(start, (box) => studio.change("box", { box }))
        .then((made) => made && start.load()),
    }, "Start a box from pigments"),
    h("a", { class: "button", href: `#/${studio.id}/tubes` }, "Make a box of your own tubes"));
}

/** @param {TableTube} tube @param {State} state @param {Studio} studio */
function row(tube, state, studio) {
  return h("li", { key: tube.tube, class: tube.away && "away" },
    h("label", { class: "tube" },
      h("input", {
        type: "checkbox",
        checked: !tube.away,
        "data-now": !tube.away,
        onchange: (event) => asked(studio, event, "away", { tubes: awayWith(state, tube) }),
      }),
      tubePaint(tube),
      tubeWords(tube.tube, pigments(tube))));
}

/** @param {TableTube} tube */
function pigments(tube) {
  const listed = tube.pigments.join(", ");
  return tube.cautions.length ? `${listed} · caution: ${tube.cautions.join(", ")}` : listed;
}

/** @param {State} state @param {TableTube} changed */
function awayWith(state, changed) {
  return state.box.tubes
    .filter((tube) => tube.away !== (tube.tube === changed.tube))
    .map((tube) => tube.tube);
}
