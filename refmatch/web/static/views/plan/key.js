/**
 * The key: a ladder of the colours by value, the photo's and the keyed one edge to edge.
 */
import { h } from "../../core/dom.js";
import { pair, pairMark } from "./pair.js";

/**
 * The panel of the key.
 *
 * @param {PlanMade} found
 * @param {Studio} studio
 */
export function keyPanel({ plan: { key, targets }, keyed }, studio) {
  const { holes } = studio.state;
  const lines = [...targets].sort((one, other) => other.photo_lab.lab[0] - one.photo_lab.lab[0] || one.number - other.number);
  return h("section", { key: "key", class: "panel plan-panel", "aria-labelledby": "plan-key" },
    h("h2", { id: "plan-key" }, keyed ? "The key" : "The key, off"),
    h("p", null, [key.words, ...key.flags.map((flag) => flag.text)].join(" ")),
    h("p", { class: "small" }, "Light to dark; left the photo, right ", keyed ? "keyed." : "what is mixed for: the same."),
    h("ol", { class: "plan-ladder" }, lines.map((line) => h("li", { key: line.number },
      h("span", { class: "number" }, line.number),
      pair(line.photo_lab, line.lab),
      h("span", { class: "plan-told" },
        h("b", null, holes[line.number - 1]?.heading ?? line.label), h("span", null, line.value_words), pairMark(line.photo_lab, line.lab),
        line.key_flags.map((caution, i) => h("span", { key: i, class: "small" }, caution.text)))))));
}
