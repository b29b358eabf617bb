/**
 * The photo on the table. Where no card tells, the painter points: whose dab, where it lies, and
 * what is known beside it.
 */
import { h } from "../../core/dom.js";
import { arrows, keys } from "../../core/keys.js";
import { greyField } from "../../parts/grey.js";
import { doubts } from "../../parts/slip/said.js";
import { word } from "./word.js";

const STEP = 0.004;
const FAR = 5;

/**
 * What can be pointed to, with the letter of its ring.
 *
 * @type {Record<Thing, { name: string, mark: string, said: string }>}
 */
export const THINGS = {
  dab: { name: "The dab", mark: "D", said: "the dab" },
  grey: { name: "Grey card", mark: "G", said: "the grey card" },
  white: { name: "White paint", mark: "W", said: "the white paint" },
  black: { name: "Black paint", mark: "B", said: "the black paint" },
  reference: { name: "A known colour", mark: "K", said: "the known colour" },
};

export const THING_NAMES = /** @type {Thing[]} */ (Object.keys(THINGS));

/** @type {Thing[]} */
const IN_STEPS = ["dab", "grey", "white", "black"];

/**
 * What is marked one after the other: white and black where the box has such.
 *
 * @param {CheckView} view
 */
export function stepsOf({ checks }) {
  const { paints } = checks.now;
  return IN_STEPS.filter((thing) => (thing === "white" || thing === "black" ? paints[thing] : true));
}

/**
 * Describe the panel of the photo; null where none lies on the table.
 *
 * @param {CheckView} view
 */
export function seenPanel(view) {
  const { checks } = view;
  const { photo, card } = checks.now;
  if (!photo) return null;
  const pointed = view.way === "pointed";
  return h("section", { key: "seen", class: "panel check-panel", "aria-labelledby": "check-seen" },
    h("h2", { id: "check-seen" }, "On the table"),
    card && h("div", { key: "way", class: "row", role: "group", "aria-label": "How the dabs are found" },
      wayButton(view, "card", "By the dab card"),
      wayButton(view, "pointed", "By pointing")),
    pointed && whose(view),
    pointed && stepLine(view),
    picture(view, photo, pointed),
    h("p", { key: "name", class: "small" }, `“${photo.name}”, ${photo.width_px} × ${photo.height_px} pixels. `,
      pointed && "Mark where the paint lies even; drag a ring, or move it with the arrow keys."),
    pointed && known(view),
    h("div", { key: "judge", class: "row" }, h("button", {
      type: "button",
      class: "strong",
      "aria-disabled": !view.mayJudge,
      onclick: () => view.mayJudge && view.judge(),
    }, pointed ? "Judge this dab" : "Judge all dabs again")),
    word("seen", checks),
    photo.learnt.length > 0 && h("div", { key: "learnt", class: "check-learnt" },
      h("p", null, h("b", null, "Your box has learnt:")),
      h("ul", null, photo.learnt.map((each) => h("li", { key: each }, each)))),
    h("div", { key: "flags", class: "check-flags" }, doubts(photo.flags)));
}

/** @param {CheckView} view @param {"card" | "pointed"} way @param {string} name */
function wayButton(view, way, name) {
  return h("button", { key: way, type: "button", "aria-pressed": view.way === way, onclick: () => view.take({ said: way }) }, name);
}

/**
 * What the next click marks.
 *
 * @param {CheckView} view
 */
function stepLine(view) {
  const steps = stepsOf(view);
  const thing = view.thing in view.places ? view.due : view.thing;
  const place = thing ? steps.indexOf(thing) + 1 : 0;
  return h("p", { key: "step", class: "row check-step", role: "status" },
    h("b", null, thing ? `${place ? `Step ${place} of ${steps.length}: ` : ""}click ${THINGS[thing].said}` : "All is marked."),
    thing && thing !== "dab" && place > 0 && h("button", {
      key: thing, type: "button", onclick: () => view.goWithout(thing),
    }, "It is not there"));
}

/** @param {CheckView} view */
function whose(view) {
  const { holes } = view.studio.state;
  return h("div", { key: "whose", class: "row" },
    h("label", { class: "check-choice" }, "Whose dab",
      h("select", {
        value: view.whose,
        onchange: ({ target }) => view.take({ hole: target.value }),
      }, holes.map((hole) => h("option", { key: hole.key, value: hole.key, selected: hole.key === view.whose },
        `${hole.number} ${hole.heading}`)))));
}

/** @param {CheckView} view @param {PhotoLaid} photo @param {boolean} pointed */
function picture(view, photo, pointed) {
  return h("div", {
    key: photo.key,
    class: ["check-picture", pointed && "pointing"],
    style: { "--photo-ratio": (photo.width_px / photo.height_px).toFixed(4) },
    onclick: (event) => pointed && click(event, view, photo),
  },
    h("img", {
      src: view.checks.url(`checks/photos/${photo.key}.jpg`),
      alt: "The photo of your dabs",
      width: photo.width_px,
      height: photo.height_px,
    }),
    pointed ? THING_NAMES.map((thing) => ring(thing, view, photo)) : windows(photo, view));
}

/**
 * Every window that was read, with the number of its puddle: a click opens that.
 *
 * @param {PhotoLaid} photo
 * @param {CheckView} view
 */
function windows(photo, view) {
  return photo.outlines.map(({ hole, corners }) => {
    const [xs, ys] = [0, 1].map((i) => corners.map((corner) => corner[i]));
    const [left, top] = [Math.min(...xs), Math.min(...ys)];
    const { number, heading } = view.studio.hole(hole) ?? {};
    return number && h("button", {
      key: hole,
      type: "button",
      class: ["check-window", hole === view.studio.chosen && "chosen"],
      "aria-label": `The dab of puddle ${number}, ${heading}`,
      style: {
        left: share(left, photo.width_px),
        top: share(top, photo.height_px),
        width: share(Math.max(...xs) - left, photo.width_px),
        height: share(Math.max(...ys) - top, photo.height_px),
      },
      onclick: () => view.open(hole),
    }, h("span", { "aria-hidden": true }, number));
  });
}

/** @param {number} part @param {number} whole */
function share(part, whole) {
  return `${(100 * part) / whole}%`;
}

/** @param {Thing} thing @param {CheckView} view @param {Extent} photo */
function ring(thing, view, photo) {
  const place = view.places[thing];
  if (!place) return null;
  const { x_px, y_px } = place;
  return h("button", {
    key: thing,
    type: "button",
    id: `check-ring-${thing}`,
    class: ["check-ring", thing === view.thing && "chosen"],
    "aria-label": `${THINGS[thing].name}: where it is. Arrow keys move the ring, with Shift further.`,
    style: {
      left: share(x_px, photo.width_px),
      top: share(y_px, photo.height_px),
      "--ring": share(view.diameter(photo), photo.width_px),
    },
    onpointerdown: (/** @type {On<PointerEvent>} */ event) => drag(event, thing, view, photo),
    onfocus: () => view.thing === thing || view.take({ thing }),
    made: (element) => keys(element, arrows((dx, dy, event) => nudge(thing, view, photo, [dx, dy], event.shiftKey))),
  }, h("span", { "aria-hidden": true }, THINGS[thing].mark));
}

/**
 * @param {Thing} thing
 * @param {CheckView} view
 * @param {Extent} photo
 * @param {number[]} way
 * @param {boolean} far
 */
function nudge(thing, view, photo, [dx, dy], far) {
  const from = view.places[thing];
  if (!from) return;
  const step = photo.width_px * STEP * (far ? FAR : 1);
  const { x_px, y_px } = from;
  view.place(thing, {
    x_px: clamp(x_px + dx * step, photo.width_px),
    y_px: clamp(y_px + dy * step, photo.height_px),
  });
}

/**
 * A ring goes with the finger or the pointer that holds it.
 *
 * @param {On<PointerEvent>} event
 * @param {Thing} thing
 * @param {CheckView} view
 * @param {Extent} photo
 */
function drag({ currentTarget: held, pointerId }, thing, view, photo) {
  const frame = held.closest(".check-picture");
  if (!frame) return;
  held.setPointerCapture(pointerId);
  const gone = new AbortController();
  /** @param {PointerEvent} event */
  const move = (event) => view.place(thing, placeAt(event, frame, photo));
  held.addEventListener("pointermove", move, { signal: gone.signal });
  for (const end of ["pointerup", "pointercancel"]) held.addEventListener(end, () => gone.abort(), { signal: gone.signal });
}

/** @param {On<MouseEvent>} event @param {CheckView} view @param {Extent} photo */
function click(event, view, photo) {
  if (!event.target.closest("button")) view.pointedTo(placeAt(event, event.currentTarget, photo));
}

/** @param {MouseEvent} event @param {Element} frame @param {Extent} photo */
function placeAt({ clientX, clientY }, frame, photo) {
  const box = frame.getBoundingClientRect();
  return {
    x_px: clamp(((clientX - box.left) / box.width) * photo.width_px, photo.width_px),
    y_px: clamp(((clientY - box.top) / box.height) * photo.height_px, photo.height_px),
  };
}

/** @param {number} value @param {number} most */
function clamp(value, most) {
  return Math.min(most, Math.max(0, value));
}

/**
 * What is pointed to, and what has to be known of it.
 *
 * @param {CheckView} view
 */
function known(view) {
  const { paints } = view.checks.now;
  const offered = THING_NAMES.filter((thing) => (thing === "white" || thing === "black" ? paints[thing] : true));
  return h("div", { key: "known", class: "check-known" },
    h("div", { class: "check-things", role: "group", "aria-label": "Point to" },
      offered.map((thing) => thingButton(thing, view, paints))),
    h("div", { key: "figures", class: "row" },
      h("label", null, "Rings", h("input", {
        type: "range",
        min: 4,
        max: 60,
        value: String(view.ring),
        "aria-label": "How wide the rings are",
        oninput: ({ target }) => view.take({ ring: Number(target.value) }),
      })),
      view.places.grey && greyField(view.grey, ({ value }) => view.take({ grey: value }))),
    view.places.reference && referenceLab(view));
}

/** @param {Thing} thing @param {CheckView} view @param {CheckState["paints"]} paints */
function thingButton(thing, view, paints) {
  const there = thing in view.places;
  return h("span", { key: thing, class: "check-thing" },
    h("button", {
      type: "button",
      "aria-pressed": view.thing === thing,
      onclick: (event) => view.pointTo(thing, event.detail === 0),
    }, `${THINGS[thing].mark} `, THINGS[thing].name, paints[thing] && h("span", { class: "unseen" }, `, ${paints[thing]}`)),
    h("span", { class: "small" }, there ? "marked" : view.missing.has(thing) ? "not there" : thing === "dab" ? "click it" : "if there"),
    there && thing !== "dab" && h("button", {
      type: "button",
      class: "bare",
      "aria-label": `Take the ring of ${THINGS[thing].name.toLowerCase()} away`,
      onclick: () => view.place(thing, null),
    }, "×"));
}

/** @param {CheckView} view */
function referenceLab(view) {
  return h("fieldset", { key: "reference", class: "check-choices check-lab" },
    h("legend", null, "The known colour, by day (D50)"),
    h("label", { key: "colour" }, "L*, a*, b*, a screen's #, or Munsell", h("input", {
      value: view.reference,
      maxlength: 40,
      autocomplete: "off",
      placeholder: "62, 14, 38 or #6a5f3c or 10YR 5/4",
      onchange: (/** @type {On<Event, HTMLInputElement>} */ { target }) => view.take({ reference: target.value }),
    })));
}
