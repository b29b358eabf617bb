/**
 * What can be gone on with: the painter's paintings, and the samples to try.
 */
import { h } from "../../core/dom.js";
import { painted } from "../../core/paint.js";

/**
 * Describe the paintings, last touched first; each is a link to its view, and what can be done
 * with it is folded under it.
 *
 * @param {PaintingCard[]} paintings
 * @param {Tidying} tidying
 */
export function paintingCards(paintings, tidying) {
  return h("ul", { class: "cards" }, paintings.map((painting) =>
    h("li", { key: painting.id }, h("a", { class: "card", href: `#/${painting.id}` },
      small(`/api/paintings/${painting.id}/small.jpg?${painting.saved_at}`),
      swatches(painting.colours),
      h("span", { class: "card-words" },
        h("strong", null, painting.title),
        h("small", null, `${holes(painting.holes)}, saved ${when(painting.saved_at)}`))),
    ways(painting, tidying))));
}

/**
 * What is done with a painting on the shelf: a name of its own, a copy, out of sight, gone.
 *
 * @typedef {object} Tidying
 * @property {boolean} away
 * @property {(painting: PaintingCard, way: "rename" | "copy" | "put_away" | "take_out" | "delete", title?: string) => unknown} act
 */

/** @param {PaintingCard} painting @param {Tidying} tidying */
function ways(painting, { away, act }) {
  /** @param {On<SubmitEvent, HTMLFormElement>} event */
  const rename = (event) => {
    event.preventDefault();
    const title = String(new FormData(event.target).get("title")).trim();
    if (title && title !== painting.title) act(painting, "rename", title);
  };
  /** @param {string} word @param {"copy" | "put_away" | "take_out" | "delete"} way */
  const button = (word, way) => h("button", {
    key: way,
    type: "button",
    "aria-label": `${word} “${painting.title}”`,
    onclick: () => act(painting, way, way === "copy" ? `${painting.title.slice(0, 73)}, copy` : ""),
  }, word);
  return h("details", { class: "card-ways" },
    h("summary", { "aria-label": `Rename, copy, put away or delete “${painting.title}”` }, "Rename, copy, put away …"),
    h("form", { class: "row", onsubmit: rename },
      h("input", { name: "title", value: painting.title, maxlength: 80, autocomplete: "off", "aria-label": `Title of “${painting.title}”` }),
      h("button", { type: "submit" }, "Rename")),
    h("div", { class: "row" },
      button("Copy", "copy"),
      away ? button("Take out again", "take_out") : button("Put away", "put_away"),
      button("Delete", "delete")));
}

/**
 * Describe the paintings whose files are damaged; `rescue(id)` goes back to a whole state.
 *
 * @param {Beginnings["damaged"]} damaged
 * @param {boolean} busy
 * @param {(id: string, name: string) => void} rescue
 */
export function damagedCards(damaged, busy, rescue) {
  return h("ul", { class: "damaged" }, damaged.map(({ id, name, saved_at: savedAt, why }) =>
    h("li", { key: id },
      h("p", null, h("strong", null, name), ` ${why} `, savedAt
        ? `A whole state was saved ${when(savedAt)}; the damaged file is kept beside it.`
        : "No whole state is left; its photo is still in the folder."),
      savedAt && h("button", {
        type: "button",
        "aria-disabled": busy,
        "aria-label": `Rescue ${name}`,
        onclick: () => busy || rescue(id, name),
      }, "Rescue"))));
}

/**
 * Describe the boxes whose files are damaged; `putAway(id)` moves one out of sight.
 *
 * @param {Beginnings["damaged_boxes"]} damaged
 * @param {boolean} busy
 * @param {(id: string, name: string) => void} putAway
 */
export function damagedBoxes(damaged, busy, putAway) {
  return h("ul", { class: "damaged" }, damaged.map(({ id, name, why }) =>
    h("li", { key: id },
      h("p", null, h("strong", null, name), ` ${why} Mend its file, or put it away: nothing of it is removed.`),
      h("button", {
        type: "button",
        "aria-disabled": busy,
        "aria-label": `Put ${name} away`,
        onclick: () => busy || putAway(id, name),
      }, "Put away"))));
}

/**
 * Describe the samples; `begin(name)` starts a painting of one.
 *
 * @param {Beginnings["samples"]} samples
 * @param {boolean} busy
 * @param {(name: string, title: string) => void} begin
 */
export function sampleCards(samples, busy, begin) {
  return h("ul", { class: "cards" }, samples.map(({ name, title }) =>
    h("li", { key: name }, h("button", {
      type: "button",
      class: "card",
      "aria-disabled": busy,
      onclick: () => busy || begin(name, title),
    },
      small(`/api/samples/${name}.jpg`),
      h("span", { class: "card-words" },
        h("strong", null, title),
        h("small", null, "Try it"))))));
}

/** @param {string} src */
function small(src) {
  return h("span", { class: "small-picture" }, h("img", { src, alt: "", loading: "lazy" }));
}

/** @param {Colour[]} colours */
function swatches(colours) {
  return h("span", { class: "swatches", "aria-hidden": true },
    colours.map((colour, i) => h("i", { key: i, ...painted(colour) })));
}

/** @param {number} count */
function holes(count) {
  if (count === 0) return "No holes yet";
  return count === 1 ? "1 hole" : `${count} holes`;
}

/**
 * A moment in words: "today 14:02" or "25 November 2026".
 *
 * @param {string} moment
 */
function when(moment) {
  const then = new Date(moment);
  if (then.toDateString() === new Date().toDateString()) return `today ${moment.slice(11, 16)}`;
  return then.toLocaleDateString("en-GB", { day: "numeric", month: "long", year: "numeric" });
}
