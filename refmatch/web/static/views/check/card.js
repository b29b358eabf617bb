/**
 * The painting's dab card: one photo of it checks every puddle, with nothing to be pointed to.
 */
import { h } from "../../core/dom.js";
import { GREY_LSTAR, greyField } from "../../parts/grey.js";
import { doubts } from "../../parts/slip/said.js";
import { word } from "./word.js";

const PAPERS = { a4: "A4", letter: "Letter" };

/**
 * Describe the way to the card.
 *
 * @param {CheckView} view
 */
export function cardPanel({ checks, studio }) {
  const { card } = checks.now;
  const { paper, grey_lstar } = card ?? { paper: "a4", grey_lstar: GREY_LSTAR };
  return h("section", { key: "card", class: "panel check-panel", "aria-labelledby": "check-card" },
    h("h2", { id: "check-card", tabindex: -1 }, "The dab card"),
    h("p", { class: "small" },
      "A frame with a window for each colour of this painting, and for white and black. It is found in a photo by ",
      "itself, and all its dabs are judged at once."),
    studio.state.holes.length === 0
      ? h("p", { key: "none" }, "No hole is punched yet. ", h("a", { href: `#/${studio.id}/look` }, "Punch some in Look"), ".")
      : h("form", {
        key: "form",
        class: "check-form",
        onsubmit: (event) => {
          event.preventDefault();
          const said = new FormData(event.target);
          checks.layCard(String(said.get("check-paper")), Number(said.get("grey")));
        },
      },
        h("fieldset", { class: "check-choices" },
          h("legend", null, "Paper"),
          Object.entries(PAPERS).map(([key, name]) => h("label", { key },
            h("input", { type: "radio", name: "check-paper", value: key, checked: key === paper }), name))),
        greyField(String(grey_lstar)),
        card ? ready(card, checks) : h("button", { key: "lay", type: "submit" }, "Lay out the dab card")),
    word("card", checks));
}

/** @param {DabCard} card @param {Checks} checks */
function ready(card, checks) {
  return [
    h("div", { key: "print", class: "row" },
      h("a", { class: "button", href: checks.url("dab-card.pdf"), download: "" }, "Print the dab card (PDF)"),
      h("button", { type: "submit" }, "Lay it out anew")),
    h("p", { key: "anew", class: "small" },
      `${card.pages === 1 ? "One page" : `${card.pages} pages`}. Once it is laid out anew, one printed before can no longer be read.`),
    h("div", { key: "flags", class: "check-flags" }, doubts(card.flags)),
  ];
}
