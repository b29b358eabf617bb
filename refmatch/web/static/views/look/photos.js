/**
 * The row above the photo: which of the painting's photos is shown, and one more to paint from.
 */
import { h } from "../../core/dom.js";
import { say, tell } from "../../core/say.js";
import { sendPhoto } from "../../core/send.js";

/**
 * Describe the row; with one photo there is none.
 *
 * @param {State} state
 * @param {Studio} studio
 */
export function photosRow(state, studio) {
  if (!state.photos.length) return null;
  const names = ["", ...state.photos];
  return h("div", { key: "photos", class: "photos-row row" },
    h("div", { key: "names", class: "row joined", role: "group", "aria-label": "Photo shown" },
      names.map((name) => h("button", {
        key: name,
        type: "button",
        "aria-pressed": name === state.shown,
        onclick: () => studio.show(name),
      }, name || state.title))),
    addPhoto(studio),
    state.shown && h("button", {
      key: "remove",
      type: "button",
      onclick: () => studio.change("remove_photo", { name: state.shown }),
    }, `Remove “${state.shown}”`));
}

/**
 * The button that takes one more photo.
 *
 * @param {Studio} studio
 */
export function addPhoto(studio) {
  return h("label", { key: "add", class: "add-photo" }, "Add a photo",
    h("input", { type: "file", accept: "image/*", class: "unseen", onchange: (event) => add(event, studio) }));
}

/** @param {On<Event, HTMLInputElement>} event @param {Studio} studio */
async function add(event, studio) {
  const input = event.target;
  const file = input.files?.[0];
  if (!file) return;
  try {
    studio.flush();
    studio.take(await sendPhoto(`${studio.base}/photos`, file, { sent: () => {} }));
    say(`The photo ${studio.state.shown} is added.`);
  } catch (error) {
    tell(error instanceof Error ? error.message : String(error));
  }
  input.value = "";
}
