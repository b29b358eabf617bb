/**
 * A step of the page: its number and heading, and what is under way or was refused there.
 */
import { h } from "../../core/dom.js";

/**
 * @typedef {object} StepOf
 * @property {string} part
 * @property {number} number
 * @property {string} title
 * @property {Bench} bench
 * @property {Props} [more]
 */

/**
 * Describe a step; `part` is its name, by which word of it is given.
 *
 * @param {StepOf} stepOf
 * @param {Child[]} content
 */
export function step({ part, number, title, bench, more = {} }, ...content) {
  return h("section", { key: part, class: ["panel", "bench-step", part], "aria-labelledby": `step-${part}`, ...more },
    h("h2", { id: `step-${part}` }, h("span", { class: "bench-count", "aria-hidden": true }, number), title),
    content,
    word(part, bench));
}

/** @param {string} part @param {Bench} bench */
function word(part, { doing, share, why }) {
  const here = doing?.part === part;
  return [
    h("p", { key: "doing", class: "bench-doing", role: "status" }, here && doing.words),
    here && share !== null && h("progress", { key: "share", "aria-label": "Sent", max: 1, value: share }),
    h("p", { key: "why", class: "bench-why", role: "alert" }, why?.part === part && [
      h("span", { class: "sign", "aria-hidden": true }, "!"), " ", why.words]),
  ];
}
