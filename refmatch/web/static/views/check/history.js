/**
 * A puddle's history: how far it was from its target in each round, drawn and in words.
 *
 * The bar through a swatch is what is not known: half of all truths lie within it. Where it
 * reaches the ground line, that photo could not tell the puddle from its target.
 */
import { h } from "../../core/dom.js";
import { figures } from "../../core/fold.js";
import { painted } from "../../core/paint.js";
import { one } from "./figures.js";

const ROOM = { left: 30, right: 12, top: 12, bottom: 28, height: 170, step: 58 };
const SWATCH = 18;
const LEAST_TOP = 4;

/**
 * Describe the chart and the rounds in order.
 *
 * @param {Puddle} puddle
 * @param {CheckView} view
 */
export function historyPart({ rounds }, view) {
  return h("section", { key: "history", class: "check-history", "aria-label": "History of the puddle" },
    h("h4", null, rounds.length === 1 ? "One round" : `${rounds.length} rounds`),
    h("p", { class: "small" }, "How far from the target, by round; the bar is what is not known."),
    h("div", { class: "check-history-body" }, chart(rounds), h("ol", { class: "check-rounds" },
      rounds.map((round, i) => h("li", { key: i }, roundRow(round, i, view))))),
    figures(h("ol", { class: "check-figured small" }, rounds.map((round, i) => h("li", { key: i }, `Round ${i + 1}: ΔE00 ${one(round.delta_e_00)} ± `
      + `${one(round.doubt_delta_e_00)}, by the photo alone ${one(round.photographed_delta_e_00)} ± ${one(round.photographed_doubt_delta_e_00)}`)))));
}

/** @param {Round[]} rounds */
function chart(rounds) {
  const width = ROOM.left + ROOM.right + ROOM.step * Math.max(rounds.length, 3);
  const most = Math.max(LEAST_TOP, ...rounds.map((round) => round.delta_e_00 + round.doubt_delta_e_00));
  const ground = ROOM.height - ROOM.bottom;
  /** @param {number} i @param {number} delta */
  const at = (i, delta) => ({
    x: ROOM.left + ROOM.step * (i + 0.5),
    y: ground - ((ground - ROOM.top) * Math.max(0, delta)) / most,
  });
  return h("svg", { class: "check-chart", viewBox: `0 0 ${width} ${ROOM.height}`, role: "img", "aria-label": inWords(rounds) },
    axes(width, ground, most),
    rounds.map((round, i) => between(rounds[i - 1], round, i, at)),
    rounds.map((round, i) => mark(round, i, at)));
}

/** @param {number} width @param {number} ground @param {number} most */
function axes(width, ground, most) {
  const step = most > 8 ? 4 : most > 4 ? 2 : 1;
  const ticks = Array.from({ length: Math.floor(most / step) + 1 }, (_, i) => i * step);
  return h("g", { key: "axes", class: "axes" }, ticks.map((tick) => {
    const y = ground - ((ground - ROOM.top) * tick) / most;
    return h("g", { key: tick },
      h("path", { d: `M${ROOM.left},${y}H${width - ROOM.right}`, class: tick === 0 && "ground" }),
      h("text", { x: ROOM.left - 6, y: y + 4 }, tick));
  }));
}

/**
 * A line where the same puddle goes on; a gap where another was mixed.
 *
 * @param {Round | undefined} before
 * @param {Round} round
 * @param {number} i
 * @param {(i: number, delta: number) => Point} at
 */
function between(before, round, i, at) {
  if (!before || before.pile !== round.pile) return null;
  const [from, to] = [at(i - 1, before.delta_e_00), at(i, round.delta_e_00)];
  return h("path", { key: `line-${i}`, class: "line", d: `M${from.x},${from.y}L${to.x},${to.y}` });
}

/** @param {Round} round @param {number} i @param {(i: number, delta: number) => Point} at */
function mark(round, i, at) {
  const { x, y } = at(i, round.delta_e_00);
  const high = at(i, round.delta_e_00 + round.doubt_delta_e_00).y;
  const low = at(i, round.delta_e_00 - round.doubt_delta_e_00).y;
  return h("g", { key: `round-${i}` },
    h("path", { class: "doubt", d: `M${x},${high}V${low}M${x - 7},${high}h14M${x - 7},${low}h14` }),
    h("rect", { x: x - SWATCH / 2, y: y - SWATCH / 2, width: SWATCH, height: SWATCH, ...painted(round.colour) }),
    h("text", { class: "round", x, y: ROOM.height - 8 }, i + 1));
}

/** @param {Round[]} rounds */
function inWords(rounds) {
  const told = rounds.map((round, i) => `round ${i + 1}: ${one(round.delta_e_00)}, give or take ${one(round.doubt_delta_e_00)}`);
  return `Distance from the target, in ΔE00, by round. ${told.join("; ")}.`;
}

/** @param {Round} round @param {number} i @param {CheckView} view */
function roundRow(round, i, view) {
  const anew = round.pile > 1 && round.number === 1;
  return [
    h("p", { key: "what" }, h("b", null, `${i + 1}`), h("span", { class: "check-chips", "aria-hidden": true }, [round.photographed, round.target, round.colour].map((colour, n) =>
        h("span", { key: n, class: "check-chip", ...painted(colour) }))),
      h("span", null, anew && "a new puddle: ", round.words || "nothing to speak of", round.verdict !== "off" && ` (${round.verdict})`)),
    h("p", { key: "held", class: "small" }, `It held ${round.parts_words}. `,
      round.photo && round.date && h("a", { href: view.checks.url(`checks/photos/${round.photo}.jpg`), target: "_blank", rel: "noopener" }, `Photo of ${day(round.date)}`)),
    round.done && h("p", { key: "done", class: "small" }, `Then you ${round.done.words}.`),
  ];
}

/** @param {string} date */
function day(date) {
  return new Date(`${date}T12:00`).toLocaleDateString("en-GB", { day: "numeric", month: "long" });
}
