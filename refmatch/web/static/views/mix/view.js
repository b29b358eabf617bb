/**
 * Mix: the slips large in a column, and beside them the painter's table: which tubes are
 * out today, which box, and how mixes are made.
 */
import { h, morph } from "../../core/dom.js";
import { get } from "../../core/api.js";
import { styles } from "../../core/styles.js";
import { boxWords } from "../../parts/box/words.js";
import { chart } from "../../parts/chart/chart.js";
import { Reach } from "../../parts/chart/reach.js";
import { ladder } from "../../parts/ladder/ladder.js";
import { doubts } from "../../parts/slip/said.js";
import { slip } from "../../parts/slip/slip.js";
import { optionsPanel } from "./options.js";
import { photoPanel } from "./photo.js";
import { tablePanel } from "./table.js";

await styles(import.meta.url, "view.css");

/** @type {View} */
export const view = {
  word: "Mix",
  title: "Mix",
  mount(root, studio) {
    let start = { boxes: [], pigments: [], labels: [], load };
    let left = false;
    const reach = new Reach(studio, () => update(studio.state));
    /** @param {State} state */
    const update = (state) => morph(root, page(state, studio, start, reach.of(state)));
    function load() {
      return get("start").then((said) => {
        start = { ...said, load };
        if (!left) update(studio.state);
      }).catch(() => null);
    }
    load();
    return {
      update,
      leave() {
        left = true;
        reach.leave();
      },
    };
  },
};

/** @param {State} state @param {Studio} studio @param {MixStart} start @param {Outlines | null} reach */
function page(state, studio, start, reach) {
  return [
    h("h1", { key: "h1", class: "unseen" }, "Mix"),
    h("div", { key: "mix", class: "mix-table" },
      h("section", { class: "mix-slips", "aria-label": "Slips" },
        mixedFrom(state, studio),
        jumps(state),
        slips(state, studio),
        !studio.chosen && state.holes.length > 0 && state.flags.length > 0 && notes(state.flags)),
      h("div", { class: "mix-side" },
        photoPanel(state, studio),
        h("div", { key: "under", class: "mix-under" }, ladder(state, studio), chart(state, studio, reach)),
        tablePanel(state, studio, start),
        optionsPanel(state, studio))),
  ];
}

/**
 * Which tubes all of it is mixed from.
 *
 * @param {State} state @param {Studio} studio
 */
function mixedFrom({ box }, studio) {
  return h("p", { key: "from", class: "mixed-from" }, "Mixed from ", h("b", null, boxWords(box)), ". ",
    h("a", { class: "way-to", href: `#/${studio.id}/tubes` }, "Other tubes"));
}

/**
 * Where all stands in one column, the way to what is far down.
 *
 * @param {State} state
 */
function jumps({ box }) {
  const out = box.tubes.filter((tube) => !tube.away).length;
  /** @param {string} id */
  const to = (id) => () => {
    const heading = document.getElementById(id);
    heading?.closest("section")?.scrollIntoView();
    heading?.focus();
  };
  return h("nav", { key: "jump", class: "jump", "aria-label": "On this page" },
    h("button", { type: "button", onclick: to("on-table") }, `The table, ${out} tubes out`),
    h("button", { type: "button", onclick: to("options") }, "How you mix"));
}

/** @param {State} state @param {Studio} studio */
function slips(state, studio) {
  if (!state.holes.length) {
    return h("div", { key: "none", class: "panel" },
      h("h2", null, "No slips yet"),
      h("p", null, "Each hole in the photo gets a slip. ",
        h("a", { href: `#/${studio.id}/look` }, "Punch some holes in Look"), "."));
  }
  return state.holes.map((hole) => slip(hole, state, studio, { open: hole.key === studio.chosen }));
}

/** @param {Flag[]} flags */
function notes(flags) {
  return h("section", { key: "notes", class: "panel notes", "aria-label": "To be known" },
    doubts(flags));
}
