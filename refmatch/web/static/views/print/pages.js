/**
 * The sheet's pages: one large, and all of them small below it to turn to.
 */
import { h } from "../../core/dom.js";

/** @type {Record<string, number>} */
const STEPS = { ArrowLeft: -1, ArrowRight: 1 };

/**
 * Describe the preview of what `print` shows: its sheet, its page, or why there is none.
 *
 * @param {PrintView} print
 */
export function pages(print) {
  const { sheet, page, why } = print;
  if (why) return h("p", { key: "why", class: "panel", role: "alert" }, why);
  if (!sheet) {
    return h("p", { key: "wait", class: "setting", role: "status" }, "Setting the sheet …");
  }
  return [
    turning(print, sheet),
    h("figure", { key: "large", class: "page-large" },
      h("img", { src: address(print, sheet, page), alt: `Page ${page} of the mixing sheet` })),
    h("ol", { key: "all", class: "page-all", "aria-label": "Pages" },
      Array.from({ length: sheet.pages }, (_, i) => small(print, sheet, i + 1))),
  ];
}

/** @param {PrintView} print @param {SheetMade} sheet */
function turning(print, sheet) {
  const { page } = print;
  /** @param {number} to @param {string} sign @param {string} word */
  const button = (to, sign, word) => h("button", {
    type: "button",
    "aria-label": word,
    "aria-disabled": to < 1 || to > sheet.pages,
    onclick: () => print.turn(to),
  }, sign);
  return h("div", { key: "turning", class: "turning", onkeydown: (event) => turnBy(event, print) },
    button(page - 1, "‹", "Page before"),
    h("p", { role: "status" }, `Page ${page} of ${sheet.pages}`),
    button(page + 1, "›", "Next page"));
}

/** @param {KeyboardEvent} event @param {PrintView} print */
function turnBy(event, print) {
  const step = STEPS[event.key];
  if (!step) return;
  event.preventDefault();
  print.turn(print.page + step);
}

/** @param {PrintView} print @param {SheetMade} sheet @param {number} number */
function small(print, sheet, number) {
  return h("li", { key: number }, h("button", {
    type: "button",
    class: "page-small",
    "aria-label": `Page ${number}`,
    "aria-current": number === print.page ? "page" : null,
    onclick: () => print.turn(number),
  },
    h("img", { src: address(print, sheet, number), alt: "", loading: "lazy" }),
    h("span", { class: "page-number" }, number)));
}

/** @param {PrintView} print @param {SheetMade} sheet @param {number} number */
function address({ studio, asked }, sheet, number) {
  return studio.url(`sheet/${number}.png?${asked}&revision=${sheet.revision}`);
}
