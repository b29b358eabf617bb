/**
 * What can be gone on with: the painter's paintings, and the samples to try.
 */
import { h } from "../../core/dom.js";
import { painted } from "../../core/paint.js";

/**
 * Describe the paintings, last touched first; each is a link to its view.
 *
 * @param {PaintingCard[]} paintings
 */
export function paintingCards(paintings) {
  return h("ul", { class: "cards" }, paintings.map((painting) =>
    h("li", { key: painting.id }, h("a", { class: "card", href: `#/${painting.id}` },
      small(`/api/paintings/${painting.id}/small.jpg?${painting.saved_at}`),
      swatches(painting.colours),
      h("span", { class: "card-words" },
        h("strong", null, painting.title),
        h("small", null, `${holes(painting.holes)}, saved ${when(painting.saved_at)}`))))));
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
