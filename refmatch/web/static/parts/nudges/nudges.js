/**
 * What moves a puddle each way, with the least side effect, and what greys it: the teaching
 * moment on any slip.
 *
 * It is asked for when it is opened, and again when the painting changes while it is open.
 */
import { h } from "../../core/dom.js";
import { painted } from "../../core/paint.js";
import { styles } from "../../core/styles.js";
import { doubts } from "../slip/said.js";

await styles(import.meta.url, "nudges.css");

/** @typedef {{ revision: number, lesson?: Lesson, why?: string }} Known */

/** @type {Set<string>} */
const open = new Set();
/** @type {Map<string, Known>} */
const lessons = new Map();

/**
 * Describe the control, and the lesson under it; `again()` draws it anew when that has come.
 *
 * @param {Hole} hole
 * @param {Studio} studio
 * @param {() => void} again
 */
export function nudgesPart(hole, studio, again) {
  const key = `${studio.id} ${hole.key}`;
  if (open.has(key)) learn(key, hole, studio, again);
  /** @param {On<Event, HTMLDetailsElement>} event */
  const toggle = ({ target }) => {
    target.open ? open.add(key) : open.delete(key);
    again();
  };
  return h("details", { key: "nudges", class: "nudges", open: open.has(key), ontoggle: toggle },
    h("summary", null, "What moves this puddle"),
    open.has(key) && told(lessons.get(key)));
}

/**
 * Ask for the lesson of the painting as it is, once.
 *
 * @param {string} key
 * @param {Hole} hole
 * @param {Studio} studio
 * @param {() => void} again
 */
async function learn(key, hole, studio, again) {
  const { revision } = studio.state;
  const known = lessons.get(key);
  if (known?.revision === revision) return;
  lessons.set(key, { ...known, revision });
  const answer = await studio.ask(`nudges/${encodeURIComponent(hole.key)}`)
    .then((lesson) => ({ lesson }), (error) => ({ why: error.message }));
  if (lessons.get(key)?.revision !== revision) return;
  lessons.set(key, { revision, ...answer });
  again();
}

/** @param {Known | undefined} known */
function told(known) {
  const { lesson, why } = known ?? {};
  if (why) return h("p", { key: "why", role: "alert" }, why);
  if (!lesson) return h("p", { key: "wait", role: "status" }, "Trying every tube on the table …");
  return h("div", { key: "lesson", class: "nudges-lesson" },
    h("p", { class: "small" }, `As it is now: ${lesson.now.words}. Left the puddle, right what it becomes.`),
    h("ul", { class: "nudges-ways" }, lesson.nudges.map((each) => row(each, lesson))),
    lesson.instead.length > 0 && [
      h("p", { key: "usual", class: "nudges-usual" }, "What is reached for instead:"),
      h("ul", { key: "instead", class: "nudges-ways" }, lesson.instead.map((each) => row(each, lesson))),
    ],
    grey(lesson),
    h("div", { key: "doubts" }, doubts(lesson.flags)));
}

/**
 * The string from the puddle to its grey: a strip of its colours, and a line a step.
 *
 * @param {Lesson} lesson
 */
function grey({ to_grey: { words, steps }, colour }) {
  return h("div", { key: "grey", class: "nudges-grey" },
    h("p", { key: "name", class: "nudges-usual" }, "To its grey:"),
    h("p", { key: "words", class: "small" }, words),
    steps.length > 0 && h("div", { key: "strip", class: "nudges-strip", "aria-hidden": true },
      [colour, ...steps.map((step) => step.colour)].map((each, place) =>
        h("span", { key: `${place}`, class: "half", ...painted(each) }))),
    steps.length > 0 && h("ol", { key: "steps", class: "nudges-steps" }, steps.map((step, place) =>
      h("li", { key: `${place}` }, step.words))));
}

/** @param {Nudge} each @param {Lesson} lesson */
function row(each, lesson) {
  return h("li", { key: each.label },
    h("span", { class: "nudges-pair", "aria-hidden": true },
      h("span", { key: "now", class: "half", ...painted(lesson.colour) }),
      each.colour && h("span", { key: "then", class: "half", ...painted(each.colour) })),
    h("b", null, each.label),
    h("span", { class: "nudges-words" }, each.words));
}
