/**
 * In which light the card was photographed, where the painter knows.
 */
import { h } from "../../core/dom.js";

const DAYLIGHT_K = 5500;
const KINDS = {
  unknown: "I do not know",
  daylight: "Daylight",
  A: "A light bulb (CIE A)",
  LED: "A white LED",
};

/**
 * Describe the choice of light; it is kept at once.
 *
 * @param {Bench} bench
 */
export function lightChoice(bench) {
  const { light } = bench.now;
  const kind = kindOf(light);
  /** @param {string | null} said */
  const say = (said) => bench.change("made", "light", said ? { light: said } : {});
  return h("div", { key: "light", class: "row" },
    h("label", { class: "bench-choice" }, "Light of the photo",
      h("select", {
        value: kind,
        onchange: ({ target }) => say(saidBy(target.value)),
      }, Object.entries(KINDS).map(([key, words]) => h("option", { key, value: key, selected: key === kind }, words)))),
    kind === "daylight" && h("label", { key: "kelvin" }, "of",
      h("input", {
        type: "number",
        min: 4000,
        max: 12000,
        step: 100,
        inputmode: "numeric",
        "aria-label": "Temperature of the daylight in kelvin",
        value: light ?? "",
        onchange: ({ target }) => say(target.value),
      }), "K"));
}

/** @param {string | null} light */
function kindOf(light) {
  if (light === null) return "unknown";
  return light in KINDS ? light : "daylight";
}

/** @param {string} kind */
function saidBy(kind) {
  if (kind === "unknown") return null;
  return kind === "daylight" ? String(DAYLIGHT_K) : kind;
}
