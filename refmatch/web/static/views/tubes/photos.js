/**
 * The third step: a photo of each page of the painted card.
 */
import { h, pressBefore } from "../../core/dom.js";
import { doubts } from "../../parts/slip/said.js";
import { step } from "./step.js";

const KINDS = "image/*,.heic,.heif,.avif,.tif,.tiff,.dng";

/**
 * Describe the way photos come in, and what there is of each page.
 *
 * @param {Bench} bench
 * @param {boolean} over
 */
export function photoStep(bench, over) {
  return step({ part: "photos", number: 3, title: "The photo", bench, more: { class: ["panel", "bench-step", "photos", over && "over"] } },
    h("p", { class: "small" },
      "In open shade or by a window, the whole page sharp in the picture, no shine on the paint, ",
      "your grey card on its cross. ",
      h("span", { class: "bench-by-mouse" }, "Drop it anywhere on this page.")),
    h("div", { key: "pick", class: "row" },
      picker("choose", "Choose a photo", {}, bench),
      picker("take", "Take a photo", { capture: "environment" }, bench)),
    bench.state
      ? h("ul", { key: "pages", class: "bench-pages" }, pages(bench))
      : h("p", { key: "first", class: "small" }, "Of any card that was printed here or elsewhere: the code at its foot says which it is, so no file is asked for."),
    !bench.state?.photos.length && h("p", { key: "sample", class: "row" },
      h("button", {
        type: "button",
        "aria-disabled": bench.doing !== null,
        onclick: () => bench.doing === null && bench.trySample(),
      }, "Try it with the sample photo"),
      h("span", { class: "small" }, "Eight tubes, painted and photographed already: go from here to a finished box.")));
}

/** @param {string} key @param {string} word @param {Props} more @param {Bench} bench */
function picker(key, word, more, bench) {
  const off = bench.doing !== null;
  return h("span", { key, class: key === "take" && "bench-take" },
    h("input", {
      type: "file",
      accept: KINDS,
      multiple: key === "choose",
      hidden: true,
      "aria-label": word,
      ...more,
      onchange: (event) => take(event.target, bench),
    }),
    h("button", {
      type: "button",
      class: key === "choose" && "strong",
      "aria-disabled": off,
      onclick: (event) => off || pressBefore(event.currentTarget),
    }, word));
}

/** @param {HTMLInputElement} input @param {Bench} bench */
function take(input, bench) {
  [...(input.files ?? [])].forEach((file) => bench.send(file));
  input.value = "";
}

/** @param {Bench} bench */
function pages(bench) {
  const { card, photos } = bench.now;
  return Array.from({ length: card.pages }, (_, i) => i + 1).map((page) => {
    const photo = photos.find((each) => each.page === page);
    const title = card.pages === 1 ? "The page" : `Page ${page}`;
    if (!photo) return h("li", { key: page }, h("p", null, `${title}: no photo yet.`));
    return h("li", { key: page },
      h("p", null, `${title}: “${photo.name}”, ${size(photo)}, tilted by ${photo.tilt_deg.toFixed(0)}°.`),
      h("div", { class: "bench-flags" }, doubts(photo.flags)),
      h("button", {
        type: "button",
        "aria-label": `Take the photo of page ${page} away`,
        onclick: () => bench.change("photos", "away", { photo: photo.key }),
      }, "Take it away"));
  });
}

/** @param {Extent} photo */
function size({ width_px, height_px }) {
  return `${width_px} × ${height_px} pixels`;
}
