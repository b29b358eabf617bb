/**
 * What is said of a hole in sentences: its value, its neighbours, what is out of reach,
 * and what to beware of.
 */
import { h } from "../../core/dom.js";

/**
 * The words of a colour, "value 5, brown, moderate", the value first and strong.
 *
 * @param {string} words
 */
export function values(words) {
  const [value, ...rest] = words.split(", ");
  return [h("span", { class: "value-word" }, value), rest.length > 0 && `, ${rest.join(", ")}`];
}

/**
 * How the hole stands to its neighbours.
 *
 * @param {Hole} hole
 */
export function neighbours(hole) {
  if (!hole.neighbours.length) return null;
  return h("ul", { class: "neighbours" }, hole.neighbours.map((words) => h("li", { key: words }, words)));
}

/**
 * Why the colour is out of reach, where it is.
 *
 * @param {Hole} hole
 */
export function reach(hole) {
  return hole.reach && sentence("reach", hole.reach, "out-of-reach");
}

/**
 * What to beware of, in the hole, in the chosen mix and with these tubes, each once: one is
 * read, so one stands there, and the rest is folded under it.
 *
 * @param {Hole} hole
 * @param {Recipe | undefined} recipe
 * @param {State} state
 */
export function cautions(hole, recipe, state) {
  const flags = [...hole.flags, ...(recipe?.flags ?? []), ...(recipe ? state.flags : [])];
  const [first, ...rest] = new Set(flags.map((flag) => flag.text));
  if (!first) return null;
  return h("div", { key: "flags", class: "flags" },
    sentence("first", first, "flag"),
    rest.length > 0 && h("details", { key: "rest" },
      h("summary", { class: "small" }, rest.length === 1 ? "One caution more" : `${rest.length} cautions more`),
      rest.map((text) => sentence(text, text, "flag small"))));
}

/**
 * What holds for every mix of the box, such as that nobody measured its tubes.
 *
 * @param {Flag[]} flags
 */
export function doubts(flags) {
  return flags.map((flag) => sentence(flag.name, flag.text, "flag small"));
}

/** @param {string} key @param {string} text @param {string} kind */
function sentence(key, text, kind) {
  return h("p", { key, class: kind }, h("span", { class: "sign", "aria-hidden": true }, "!"), h("span", null, text));
}
