/**
 * Word of what is under way, or was refused, at one piece of the page.
 */
import { h } from "../../core/dom.js";

/**
 * Describe it; `part` names the piece.
 *
 * @param {string} part
 * @param {Checks} checks
 */
export function word(part, { doing, share, why }) {
  const here = doing?.part === part;
  return [
    h("p", { key: "doing", class: "check-doing", role: "status" }, here && doing.words),
    here && share !== null && h("progress", { key: "share", "aria-label": "Sent", max: 1, value: share }),
    h("p", { key: "why", class: "check-why", role: "alert" }, why?.part === part && [
      h("span", { class: "sign", "aria-hidden": true }, "!"), h("span", null, why.words)]),
  ];
}
