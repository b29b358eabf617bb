/**
 * The first step: which tubes the card is for.
 */
import { h } from "../../core/dom.js";
import { startBox } from "../../parts/box/new-box.js";
import { tubePaint, tubeWords } from "../../parts/box/tube.js";
import { boxWords, listedWords } from "../../parts/box/words.js";
import { step } from "./step.js";

/**
 * Describe the choice of box, and its tubes; the box that is taken is the painting's at once.
 *
 * @param {Bench} bench
 * @param {Studio} studio
 */
export function boxStep(bench, studio) {
  return step({ part: "box", number: 1, title: "Your tubes", bench },
    h("p", { class: "small" },
      "Start a box that names your tubes, or choose the one that comes nearest. That is enough to mix from. ",
      "To be surer, go on: paint the card, photograph it, and the box learns what is really in your tubes."),
    bench.start && choice(bench, studio),
    bench.start && h("p", { key: "mixed" }, "This painting is mixed from ", h("b", null, boxWords(studio.state.box)), ". ",
      h("a", { class: "way-to", href: `#/${studio.id}/mix` }, "See its mixes")),
    bench.start && begun(bench),
    bench.state ? tubes(bench.state.box.tubes) : bench.start && names(bench));
}

/** @param {Bench} bench @param {Studio} studio */
function choice(bench, studio) {
  /** @param {string} box */
  const take = (box) => studio.change("box", { box });
  const { boxes, pigments, labels } = bench.shelf;
  return h("div", { key: "choice", class: "row" },
    h("label", { class: "bench-choice" }, "Box",
      h("select", {
        value: bench.box,
        onchange: ({ target }) => { bench.choose(target.value); take(target.value); },
      }, boxes.map((box) => h("option", { key: box.id, value: box.id }, told(box, bench))))),
    h("button", {
      type: "button",
      onclick: () => startBox({ pigments, labels }, (box) => Promise.all([bench.added(box), take(box)])),
    }, "Start a box that names your tubes"));
}

/**
 * Cards that were begun for other boxes: looked at again, they leave the painting's box as it is.
 *
 * @param {Bench} bench
 */
function begun(bench) {
  const others = bench.benches.filter(({ boxes }) => boxes.length > 0 && !boxes.includes(bench.box ?? ""));
  return others.map(({ id, name, boxes }) => h("p", { key: `begun-${id}`, class: "row" },
    h("span", null, `A card is begun for “${name}”.`),
    h("button", { type: "button", onclick: () => bench.choose(boxes[0]) }, "Go on with it")));
}

/** @param {BoxCard} box @param {Bench} bench */
function told(box, { benches, state }) {
  const hasCard = benches.some((bench) => bench.boxes.includes(box.id)) || state?.made?.id === box.id;
  return `${listedWords(box)}${hasCard ? "; its card is begun" : ""}`;
}

/**
 * Before there is a card: what the box holds, in words.
 *
 * @param {Bench} bench
 */
function names({ start, box }) {
  const { tubes: held } = start?.boxes.find(({ id }) => id === box) ?? { tubes: [] };
  return h("p", { key: "names", class: "small" }, held.join(", "));
}

/** @param {Tube[]} list */
function tubes(list) {
  return h("ul", { key: "tubes", class: "bench-tubes" }, list.map((tube) =>
    h("li", { key: tube.tube, class: "bench-tube" },
      tubePaint(tube),
      tubeWords(tube.tube, tube.pigments.join(", ")))));
}
