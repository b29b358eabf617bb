/**
 * A question that must be answered before anything goes on.
 */
import { h, make } from "../../core/dom.js";
import { styles } from "../../core/styles.js";

await styles(import.meta.url, "dialog.css");

/**
 * Ask, and return the answer's key; Escape gives the last one, which should change nothing.
 * `answers` is a list of [key, word].
 *
 * @param {{ title: string, text: string, answers: [key: string, word: string][] }} question
 */
export function ask({ title, text, answers }) {
  const lastKey = answers.at(-1)?.[0];
  const dialog = make(h("dialog", { class: "ask", "aria-labelledby": "ask-title" },
    h("form", { method: "dialog" },
      h("h2", { id: "ask-title" }, title),
      h("p", null, text),
      h("div", { class: "row" }, answers.map(([key, word], i) =>
        h("button", { value: key, class: i === 0 && "strong" }, word))))));
  document.body.append(dialog);
  dialog.showModal();
  return new Promise((answered) => {
    dialog.addEventListener("close", () => {
      dialog.remove();
      answered(dialog.returnValue || lastKey);
    });
  });
}
