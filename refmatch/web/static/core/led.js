/**
 * The first painting is led: a line for each view says what is done there, and names each new
 * word once. It can be left at any time, and is then gone for good for this painting.
 *
 * Kept in this browser: it is about the painter, not about the painting.
 */
import { h } from "./dom.js";

const KEY = "refmatch-led";

/** @param {State} state */
const HAS_HOLES = ({ holes }) => holes.length > 0;

/**
 * What is done in each view, in the order of the road.
 *
 * @type {Record<string, { title: string, words: Child[], is_done: (state: State) => boolean }>}
 */
const STEPS = {
  light: {
    title: "Take the light's cast out",
    words: ["Click something in the photo that is truly grey or white; in the garden table it is the grey card. ",
      "Is there nothing of the kind? Then go on: the photo is taken as it was shot."],
    is_done: ({ light }) => light.method !== "as-shot",
  },
  look: {
    title: "Punch three or four colours",
    words: ["Click a colour that matters, and it stands alone, free of its neighbours. The paint that you will mix for it ",
      "on the palette is its ", term("puddle"), "."],
    is_done: HAS_HOLES,
  },
  tubes: {
    title: "Say which tubes are yours",
    words: ["Tick the tubes that you own, under “Start a box that names your tubes”, or go on with the usual twelve. ",
      "The card and its photo (2 to 6) make mixes surer; they can wait."],
    is_done: () => true,
  },
  mix: {
    title: "See what each puddle is mixed of",
    words: ["A slip gives the parts, and the order to mix them in. Of a very strong tube you would need less than you can lay out; so work it ",
      "into white first, 1 part to 9, and take parts of that: a ", term("let-down"), "."],
    is_done: HAS_HOLES,
  },
  plan: {
    title: "Plan the whole",
    words: ["A photo is lighter and darker than paint can be: the ", term("key"), " moves all its values, together, to where your ",
      "tubes reach. A ", term("string"), " is one colour laid out from light to shadow, each step drawn from the last."],
    is_done: HAS_HOLES,
  },
  print: {
    title: "Print the sheet",
    words: ["The page after the cover is for the easel: all puddles, to be read at arm's length. Print at 100 %."],
    is_done: HAS_HOLES,
  },
  check: {
    title: "Mix, dab, and look",
    words: ["Paint a dab of a puddle, photograph it beside a grey card, and drop the photo here: it says how far off the dab is, ",
      "and what to add."],
    is_done: HAS_HOLES,
  },
  canvas: {
    title: "Stand back and look at the whole",
    words: ["At the end of a sitting photograph the canvas, a grey card beside it: values first, it says what is off. ",
      "That is the whole road."],
    is_done: () => true,
  },
};

/**
 * Lead through a painting, from now on.
 *
 * @param {string} id
 */
export function lead(id) {
  localStorage.setItem(KEY, id);
}

/** Whether this browser was ever led: a second painting is offered no guide by itself. */
export function wasLed() {
  return localStorage.getItem(KEY) !== null;
}

/**
 * Describe the line for the view that is shown; nothing where nobody is led. `again` draws anew.
 *
 * @param {Studio | null} studio
 * @param {string[]} road
 * @param {string | null} path
 * @param {() => void} again
 */
export function ledLine(studio, road, path, again) {
  const step = path ? STEPS[path] : null;
  if (!studio || !step || localStorage.getItem(KEY) !== studio.id) return null;
  const at = road.findIndex((word) => word.toLowerCase() === path);
  const next = road[at + 1];
  const leave = () => {
    localStorage.setItem(KEY, "");
    again();
  };
  return h("section", { key: "led", class: "led", "aria-label": "Your first painting" },
    h("div", { class: "led-words" },
      h("h2", null, h("span", { class: "small" }, `${at + 1} of ${road.length}`), " ", step.title),
      h("p", null, step.words)),
    h("div", { class: "led-ways" },
      next && h("a", {
        class: ["button", step.is_done(studio.state) && "strong"],
        href: `#/${studio.id}/${next.toLowerCase()}`,
      }, `On to ${next}`),
      h("button", { type: "button", onclick: leave }, next ? "Go on alone" : "Done")));
}

/** @param {string} word */
function term(word) {
  return h("dfn", { key: word }, word);
}
