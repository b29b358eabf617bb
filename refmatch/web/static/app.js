/**
 * The page's beginning: which painting, which view, and the header over them.
 *
 * The address says it all: #/ID/look is a view of a painting, #/ the start, #/class the classes.
 */
import { recallAwake } from "./core/awake.js";
import { h, morph, room } from "./core/dom.js";
import { header } from "./core/header.js";
import { ledLine } from "./core/led.js";
import { isWriting, keys } from "./core/keys.js";
import { layVoices, say, tell } from "./core/say.js";
import { openStudio } from "./core/store.js";
import { recallSurround } from "./core/surround.js";
import { ROAD } from "./views/road.js";

/**
 * What is open and shown now.
 *
 * @type {{ id: string | null, path: string | null, studio: Studio | null, view: View | null, shown: Shown | null }}
 */
const here = { id: null, path: null, studio: null, view: null, shown: null };

/** The view that stands beside the start: it has no painting open either. */
const BESIDE = "class";

recallSurround();
recallAwake();
layVoices(document.body);
morph(room(document, "#studio"),
  h("a", { class: "skip", href: "#main", onclick: skip }, "To the work"),
  h("header", { class: "head", own: true }),
  h("div", { class: "led-room", own: true }),
  h("main", { id: "main", tabindex: -1, own: true }));
const head = room(document, "header.head");
const ledRoom = room(document, ".led-room");
const main = room(document, "main");

let going = go();
addEventListener("hashchange", () => { going = going.then(go); });
addEventListener("pagehide", () => here.studio?.flush());
addEventListener("beforeunload", (event) => here.studio?.unsaved && event.preventDefault());
// a file dropped on a painting would take the browser away from the page
addEventListener("dragover", (event) => holdsFile(event) && event.preventDefault());
addEventListener("drop", (event) => {
  if (!holdsFile(event)) return;
  event.preventDefault();
  if (here.id) tell("To begin with another photo, go to all paintings (refmatch, at the top) and drop it there.");
});
keys(document, {
  "Mod+z": () => !isWriting() && step("undo"),
  "Mod+Shift+z": () => !isWriting() && step("redo"),
  "Mod+y": () => !isWriting() && step("redo"),
});
async function go() {
  const [, first, word] = location.hash.split("/");
  const known = ROAD.map((view) => view.toLowerCase());
  const id = first === BESIDE ? "" : first;
  const path = id ? (known.find((view) => view === word) ?? known[0]) : first || "start";
  if ((id || null) === here.id && path === here.path) return;
  try {
    const coming = import(`./views/${path}/view.js`); // while the painting is asked for
    if ((id || null) !== here.id) await openPainting(id || null);
    showView(path, await coming);
  } catch (error) {
    fail(error);
  }
}

/** @param {string | null} id */
async function openPainting(id) {
  leaveView();
  here.studio?.close();
  Object.assign(here, { id: null, studio: null });
  if (!id) return;
  const studio = await openStudio(id);
  Object.assign(here, { id, studio });
  studio.subscribe(update);
}

/** @param {string} path @param {{ view: View }} module */
function showView(path, { view }) {
  leaveView();
  Object.assign(here, { path, view });
  document.body.dataset.view = path;
  here.shown = view.mount(main, /** @type {Studio} */ (here.studio)); // null before the road: the start takes none
  update();
  scrollTo(0, 0);
  say(view.title);
}

/** @param {DragEvent} event */
function holdsFile({ dataTransfer }) {
  return dataTransfer?.types.includes("Files");
}

function leaveView() {
  here.shown?.leave();
  here.shown = null;
  here.path = null;
  main.replaceChildren();
}

function update() {
  const { studio, view } = here;
  const title = studio?.state.title;
  document.title = [view?.title, title, "refmatch studio"].filter(Boolean).join(" · ");
  morph(head, header({ studio, road: ROAD, path: here.path, again: update }));
  morph(ledRoom, ledLine(studio, ROAD, here.path, update));
  if (studio) here.shown?.update(studio.state);
}

/** @param {"undo" | "redo"} way */
function step(way) {
  if (way === "undo") here.studio?.undo();
  else here.studio?.redo();
}

/** @param {Event} event */
function skip(event) {
  event.preventDefault();
  main.focus();
}

/** @param {Error} error */
function fail(error) {
  leaveView();
  morph(head, header({ studio: null, road: ROAD, path: null, again: update }));
  morph(ledRoom);
  morph(main, h("section", { class: "plain" },
    h("h1", null, "This cannot be shown"),
    h("p", { role: "alert" }, error.message),
    h("p", null, h("a", { href: "#/" }, "To the start"))));
}
