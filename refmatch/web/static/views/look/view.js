import { h, morph } from "../../core/dom.js";
export const view = { word: "Look", title: "Look", mount(root, studio) {
  return { update(state) { morph(root, h("p", { class: "plain" }, state.title, " ", state.holes.length)); }, leave() {} };
} };
