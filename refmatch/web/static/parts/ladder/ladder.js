/**
 * The value ladder: eleven greys from black to white, every hole's number at its value.
 *
 * Values come first in a picture; here one sees at a glance how far apart the lights and
 * shadows lie and what the picture does without. Numbers that would collide are stacked.
 */
import { h } from "../../core/dom.js";
import { styles } from "../../core/styles.js";

await styles(import.meta.url, "ladder.css");

const STEPS = Array.from({ length: 11 }, (_, value) => value);
const APART = 0.9;

/**
 * Describe the ladder of `state.holes`. `studio` tells which is chosen, and hears of it.
 *
 * @param {State} state
 * @param {Studio} studio
 */
export function ladder(state, studio) {
  const placed = stack(state.holes);
  const rows = Math.max(1, ...placed.map(({ row }) => row + 1));
  return h("section", { key: "ladder", class: "panel ladder", "aria-label": "Value ladder" },
    h("h2", null, "Value, dark to light"),
    h("div", { class: "ladder-scale", style: { "--rows": String(rows) } },
      h("ul", { class: "ladder-holes" }, placed.map((one) => number(one, studio))),
      h("div", { class: "ladder-greys", "aria-hidden": true }, STEPS.map((value) => h("i", { class: `v${value}` }))),
      shares(state.values),
      h("div", { class: "ladder-figures", "aria-hidden": true }, STEPS.map((value) => h("span", null, value)))),
    h("p", { class: "small" }, summary(state.holes),
      state.values.length > 0 && " The longer a bar, the more of the photo lies at its value."));
}

/**
 * How much of the photo lies at each value, hanging from the greys.
 *
 * @param {Value[]} values
 */
function shares(values) {
  const most = Math.max(...values.map(({ share }) => share), 0.01);
  return values.length > 0 && h("ul", { class: "ladder-shares", "aria-label": "Share of the photo at each value" },
    values.map(({ munsell_value, share }) => h("li", {
      key: munsell_value,
      style: { "--at": String((munsell_value + 0.5) / 11), "--share": String(share / most) },
    }, h("span", { class: "unseen" }, `value ${munsell_value}: ${Math.round(share * 100)} %`))));
}

/** @param {{ hole: Hole, row: number }} placed @param {Studio} studio */
function number({ hole, row }, studio) {
  const value = hole.munsell_value.toFixed(1);
  return h("li", {
    key: hole.key,
    style: { "--at": String((hole.munsell_value + 0.5) / 11), "--row": String(row) },
  }, h("button", {
    type: "button",
    class: "ladder-number",
    "aria-pressed": hole.key === studio.chosen,
    "aria-label": `Hole ${hole.number}, ${hole.heading}: value ${value}`,
    title: `${hole.heading}: value ${value}`,
    onclick: () => studio.choose(hole.key),
  }, hole.number));
}

/**
 * The lowest row in which each number has room, darkest first.
 *
 * @param {Hole[]} holes
 */
function stack(holes) {
  /** @type {number[]} */
  const ends = [];
  const byValue = [...holes].sort((a, b) => a.munsell_value - b.munsell_value);
  return byValue.map((hole) => {
    const free = ends.findIndex((end) => hole.munsell_value - end >= APART);
    const row = free < 0 ? ends.length : free;
    ends[row] = hole.munsell_value;
    return { hole, row };
  });
}

/** @param {Hole[]} holes */
function summary(holes) {
  if (!holes.length) return "Each hole you punch takes its place here.";
  const sorted = [...holes].sort((a, b) => a.munsell_value - b.munsell_value);
  const [dark, light] = [sorted[0], sorted[sorted.length - 1]];
  if (holes.length === 1) return `Hole ${dark.number} has value ${dark.munsell_value.toFixed(1)}.`;
  // of the figures shown, so that who counts after it finds the same
  const [from, to] = [dark, light].map((hole) => hole.munsell_value.toFixed(1));
  return `Lightest ${light.number} at ${to}, darkest ${dark.number} at ${from}: ${(Number(to) - Number(from)).toFixed(1)} values apart.`;
}
