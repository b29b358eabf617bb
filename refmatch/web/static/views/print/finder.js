/**
 * The value finder: grey steps with holes to punch, told by a photo what they truly are, and printed
 * anew for this printer. The steps of that print are kept by the browser, for a photo of it.
 */
import { pressBefore, h } from "../../core/dom.js";
import { figures } from "../../core/fold.js";
import { sendPhoto } from "../../core/send.js";
import { GREY_LSTAR, greyField } from "../../parts/grey.js";
import { doubts } from "../../parts/slip/said.js";

const KEPT = "refmatch-value-finder";
const KINDS = "image/*,.heic,.heif,.avif,.tif,.tiff,.dng";

/**
 * @typedef {object} Finder
 * @property {string} grey  L* of the grey card, as typed
 * @property {string} doing
 * @property {string} why
 * @property {FinderMeasured | null} measured
 */

/** @type {Finder} */
export const NO_FINDER = { grey: String(GREY_LSTAR), doing: "", why: "", measured: null };

/**
 * Describe the panel.
 *
 * @param {PrintView} print
 */
export function finderPanel(print) {
  const { grey, doing, why, measured } = print.finder;
  const steps = measured?.corrected ?? "";
  return h("section", { key: "finder", class: "panel", "aria-labelledby": "finder-title" },
    h("h2", { id: "finder-title" }, "A value finder"),
    h("p", { class: "small" },
      "Grey steps from black to white, each with a hole to punch: hold it over the photo, the palette or the canvas, squint, and go ",
      "along until a hole melts into its step."),
    h("a", { key: "plain", class: "button", href: address(print, ""), download: "" }, "Print the value finder (PDF)"),
    h("p", { class: "small" },
      "No printer prints greys as they are sent. Photograph the page before it is cut, your grey card on its cross, and be told ",
      "what each step truly is."),
    greyField(grey, ({ value }) => print.takeFinder({ grey: value })),
    h("span", { key: "pick" },
      h("input", {
        type: "file", accept: KINDS, hidden: true, "aria-label": "Choose a photo of the value finder",
        onchange: ({ target }) => send(target, print),
      }),
      h("button", {
        type: "button", "aria-disabled": doing !== "", onclick: (event) => !doing && pressBefore(event.currentTarget),
      }, "Choose a photo of it")),
    h("p", { key: "doing", class: "finder-doing", role: "status" }, doing),
    why && h("p", { key: "why", role: "alert" }, why),
    measured && found(measured),
    steps && h("a", {
      key: "own", class: "button strong", href: address(print, steps), download: "",
      onclick: () => localStorage.setItem(KEPT, steps),
    }, "Print it for this printer (PDF)"));
}

/** @param {FinderMeasured} measured */
function found(measured) {
  const { darkest, lightest, steps, flags } = measured;
  return h("div", { key: "found", class: "finder-found" },
    h("p", null, `This printer prints values from ${darkest.toFixed(1)} to ${lightest.toFixed(1)}, its paper. `,
      "A finder made for it carries on each step what that step truly is."),
    figures(h("table", { class: "finder-steps small" },
      h("thead", null, h("tr", null, h("th", { scope: "col" }, "Written"), h("th", { scope: "col" }, "Printed as"))),
      h("tbody", null, steps.map((step) => h("tr", { key: step.value },
        h("th", { scope: "row" }, step.value), h("td", null, step.true.toFixed(1))))))),
    doubts(flags));
}

/** @param {PrintView} print @param {string} steps */
function address({ paper, finder }, steps) {
  const asked = new URLSearchParams({ paper, grey: finder.grey, steps });
  return `/api/value-finder.pdf?${asked}`;
}

/** @param {HTMLInputElement} input @param {PrintView} print */
async function send(input, print) {
  const file = input.files?.[0];
  input.value = "";
  if (!file) return;
  print.takeFinder({ doing: `Reading “${file.name}” …`, why: "" });
  const { paper, finder } = print;
  const asked = new URLSearchParams({ paper, grey: finder.grey, steps: localStorage.getItem(KEPT) ?? "" });
  try {
    const measured = await sendPhoto(`value-finder/photos?${asked}`, file, { sent: () => {} });
    print.takeFinder({ doing: "", measured });
  } catch (error) {
    print.takeFinder({ doing: "", why: error.message, measured: null });
  }
}
