/**
 * The second step: the card to print.
 */
import { h } from "../../core/dom.js";
import { GREY_LSTAR, greyField } from "../../parts/grey.js";
import { step } from "./step.js";

const PAPERS = { a4: "A4", letter: "Letter" };

/**
 * Describe what is chosen of the card, and the way to print it.
 *
 * @param {Bench} bench
 */
export function cardStep(bench) {
  const { paper, grey_lstar } = bench.state?.card ?? { paper: "a4", grey_lstar: GREY_LSTAR };
  /** @param {HTMLFormElement} form */
  const lay = (form) => {
    const said = new FormData(form);
    return bench.layCard(String(said.get("bench-paper")), Number(said.get("grey")));
  };
  return step({ part: "card", number: 2, title: "The card", bench },
    h("p", { class: "small" },
      "A frame with a window for each dab. Print it at 100 %, cut the windows out, tape it over ",
      "primed canvas paper and paint each dab through its window, flat with the knife, then on over ",
      "the black bar. Its first page says how."),
    h("form", {
      key: "form",
      class: "bench-form",
      onsubmit: (event) => { event.preventDefault(); lay(event.target); },
    },
      h("fieldset", { class: "bench-papers" },
        h("legend", null, "Paper"),
        Object.entries(PAPERS).map(([key, word]) => h("label", { key },
          h("input", {
            type: "radio",
            name: "bench-paper",
            value: key,
            checked: key === paper,
            onchange: (event) => bench.state && event.target.form && lay(event.target.form),
          }), word))),
      greyField(String(grey_lstar), ({ form }) => bench.state && form && lay(form)),
      bench.state ? ready(bench) : h("button", {
        key: "lay",
        type: "submit",
        class: "strong",
        disabled: !bench.box,
      }, "Lay out the card")));
}

/** @param {Bench} bench */
function ready(bench) {
  const { pages } = bench.now.card;
  const dabs = bench.now.dabs.length;
  return h("p", { key: "ready", class: "row" },
    h("a", { class: "button strong", href: bench.url("card.pdf"), download: "" }, "Print the card (PDF)"),
    h("span", { class: "small" }, `${dabs} dabs on ${pages === 1 ? "one page" : `${pages} pages`}, and a page that says how. `,
      "Nothing else has to be kept: the card's layout lies with the box."));
}
