/**
 * The header on every view: the painting's title, the road, whether all is saved, the way
 * back and forth, the screen that stays on, and the surround.
 */
import { awakeSwitch } from "./awake.js";
import { h } from "./dom.js";
import { surroundButtons } from "./surround.js";

/**
 * @typedef {object} Headed
 * @property {Studio | null} studio
 * @property {string[]} road
 * @property {string | null} path
 * @property {() => void} again
 */

/**
 * Describe the header. `studio` is null before a painting is open.
 *
 * @param {Headed} headed
 */
export function header({ studio, road, path, again }) {
  return [
    h("a", { key: "home", class: "home", href: "#/", "aria-label": "refmatch: all paintings" }, "refmatch"),
    studio && titleField(studio),
    studio && roadBar(studio, road, path),
    h("div", { key: "tail", class: "tail" },
      studio && savedSign(studio),
      studio && steps(studio),
      awakeSwitch(again),
      surroundButtons(again)),
  ];
}

/** @param {Studio} studio */
function titleField(studio) {
  /** @param {On<Event, HTMLInputElement>} event */
  const set = async ({ target }) => {
    const title = target.value.trim();
    if (title && title !== studio.state.title) await studio.change("title", { title });
    target.value = studio.state.title;
  };
  /** @param {On<KeyboardEvent>} event */
  const done = (event) => event.key === "Enter" && event.target.blur();
  return h("input", {
    key: "title",
    class: "title",
    "aria-label": "Title of the painting",
    autocomplete: "off",
    maxlength: 80,
    value: studio.state.title,
    onchange: set,
    onkeydown: done,
  });
}

/** @param {Studio} studio @param {string[]} road @param {string | null} path */
function roadBar(studio, road, path) {
  return h("nav", { key: "road", class: "road", "aria-label": "The road" },
    h("ol", null, road.map((word) => {
      const to = word.toLowerCase();
      return h("li", { key: to }, h("a", {
        href: `#/${studio.id}/${to}`,
        "aria-current": to === path ? "page" : null,
      }, word));
    })));
}

/** @param {Studio} studio */
function savedSign({ sign, state }) {
  const words = {
    saved: `saved ${state.saved_at?.slice(11, 16) ?? ""}`,
    saving: "saving …",
    "not saved": "not saved",
  };
  const wrong = sign.word === "not saved";
  return h("p", { key: "saved", class: ["saved", wrong && "wrong"], role: "status" },
    wrong && h("span", { class: "sign", "aria-hidden": true }, "!"),
    words[sign.word],
    wrong && h("span", { class: "why" }, `. ${sign.why}`));
}

/** @param {Studio} studio */
function steps(studio) {
  /**
   * @param {string} key
   * @param {string} mark
   * @param {string} word
   * @param {string | null} what
   * @param {() => void} act
   */
  const button = (key, mark, word, what, act) => h("button", {
    key,
    type: "button",
    class: "step",
    "aria-disabled": what === null,
    "aria-label": what ? `${word} ${what}` : `Nothing to ${word.toLowerCase()}`,
    title: what ? `${word}: ${what}` : `Nothing to ${word.toLowerCase()}`,
    onclick: () => what && act(),
  }, h("span", { "aria-hidden": true }, mark), h("span", { class: "step-word" }, word));
  const { undo, redo } = studio.state;
  return h("div", { key: "steps", class: "steps", role: "group", "aria-label": "Steps" },
    button("undo", "↶", "Undo", undo, () => studio.undo()),
    button("redo", "↷", "Redo", redo, () => studio.redo()));
}
