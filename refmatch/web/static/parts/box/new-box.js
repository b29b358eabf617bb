/**
 * A new box from the built-in pigments: search, tick, name it.
 */
import { h, make, morph } from "../../core/dom.js";
import { post } from "../../core/api.js";
import { styles } from "../../core/styles.js";
import { tubePaint, tubeWords } from "./tube.js";

await styles(import.meta.url, "new-box.css");

/** @type {Record<string, string>} */
const HIDING = { O: "opaque", SO: "semi-opaque", ST: "semi-transparent", T: "transparent" };
/** @typedef {Pigment & { like?: string, why?: string }} Listed a row; `like` where only a neighbour is known */

/**
 * What the painter has said of the box so far; `names` are their own for tubes, by pigment;
 * `others` are tubes of pigments that are not listed, each taken to be like a neighbour.
 *
 * @typedef {object} Wanted
 * @property {Listed[]} pigments
 * @property {boolean} student
 * @property {Set<string>} ticked
 * @property {Record<string, string>} names
 * @property {{ name: string, pigment: string, neighbour: string }[]} others
 * @property {string} search
 * @property {string} name
 * @property {string} why
 */

const FIRST = "titanium-white";

/**
 * Open the dialog. `taken(id)` hears of a box that was made, and is waited for. Resolves to
 * the id of the box, or null where none was made.
 *
 * @param {{ pigments: Pigment[], labels: Label[] }} known
 * @param {(box: string) => unknown} taken
 */
export function startBox({ pigments, labels }, taken) {
  /** @type {Wanted} */
  const wanted = {
    pigments: [...pigments, ...labelled(labels, pigments)],
    student: false,
    ticked: new Set([FIRST]),
    names: {},
    others: [],
    search: "",
    name: "",
    why: "",
  };
  /** @type {string | null} */
  let box = null;
  const dialog = make(h("dialog", { class: "new-box", "aria-labelledby": "new-box-title" }));
  /** @param {Event} event */
  const keep = async (event) => {
    event.preventDefault();
    box = await made(wanted);
    if (!box) return draw();
    await taken(box);
    return dialog.close();
  };
  const draw = () => morph(dialog, content(wanted, draw, keep));
  document.body.append(dialog);
  draw();
  dialog.showModal();
  return new Promise((done) => {
    dialog.addEventListener("close", () => {
      dialog.remove();
      done(box);
    });
  });
}

/**
 * Labels as rows of the list: each looks as the paint that it is taken to be like.
 *
 * @param {Label[]} labels
 * @param {Pigment[]} pigments
 * @returns {Listed[]}
 */
function labelled(labels, pigments) {
  const byKey = new Map(pigments.map((pigment) => [pigment.key, pigment]));
  return labels.flatMap(({ label, names, like, why }) => {
    const near = byKey.get(like);
    const own = label === names[0] ? [] : [label];
    return near ? [{
      ...near, key: label, name: names[0], index_names: own, called: names, opacity: "", cautions: [], like: near.name, why,
    }] : [];
  });
}

/**
 * Make the box and return its id; or null, and say in `wanted.why` what is in the way.
 *
 * @param {Wanted} wanted
 */
async function made(wanted) {
  wanted.why = lacking(wanted);
  if (wanted.why) return null;
  try {
    const { id } = await post("boxes", { name: wanted.name.trim(), tubes: tubesOf(wanted) });
    return id;
  } catch (error) {
    wanted.why = error.message;
    return null;
  }
}

/** @param {Wanted} wanted */
function lacking({ name, ticked, others }) {
  if (!name.trim()) return "Give the box a name.";
  if (others.some((tube) => !tube.name.trim())) return "Say what you call each tube that is not in the list.";
  return ticked.size + others.length > 1 ? "" : "Tick the tubes that you own: a white, and one at least to mix with it.";
}

/** @param {Wanted} wanted */
function tubesOf({ pigments, ticked, names, others, student }) {
  const grade = student ? "student" : "artist";
  return [
    ...pigments
      .filter((pigment) => ticked.has(pigment.key))
      .map((pigment) => ({ pigment: pigment.key, name: names[pigment.key]?.trim() || tubeName(pigment), grade })),
    ...others.map(({ name, pigment, neighbour }) => ({ name: name.trim(), pigment: pigment.trim(), neighbour, grade })),
  ];
}

/**
 * A tube is called as painters write it, "titanium white"; its name is its own from then on.
 *
 * @param {Listed} pigment
 */
function tubeName(pigment) {
  return pigment.like ? pigment.name.toLowerCase() : pigment.key.replaceAll("-", " ").replace(/ oil$/, "");
}

/** @param {Wanted} wanted @param {() => void} draw @param {(event: Event) => unknown} onsubmit */
function content(wanted, draw, onsubmit) {
  const found = bestFirst(wanted.pigments.filter((pigment) => isShown(pigment, wanted)), wanted.search);
  return h("form", { key: "form", method: "dialog", onsubmit },
    h("h2", { id: "new-box-title" }, "Start a box of your tubes"),
    h("p", null, "Find each tube by the name or the pigment on its label, and tick it. The painting is then mixed from these tubes alone."),
    h("label", { class: "field" }, h("span", null, "Name of the box"),
      h("input", {
        value: wanted.name,
        placeholder: "such as: my tubes",
        maxlength: 60,
        autocomplete: "off",
        oninput: (event) => { wanted.name = event.target.value; },
      })),
    h("label", { class: "grade" },
      h("input", { type: "checkbox", checked: wanted.student, onchange: (event) => { wanted.student = event.target.checked; } }),
      h("span", null, "These are a student's line: weaker, about six tenths as strong")),
    h("label", { class: "field" }, h("span", null, "Find a pigment"),
      h("input", {
        type: "search",
        value: wanted.search,
        placeholder: "as on the label: French ultramarine, PB29",
        autocomplete: "off",
        oninput: (event) => { wanted.search = event.target.value; draw(); },
        onkeydown: (event) => event.key === "Enter" && event.preventDefault(),
      })),
    h("p", { class: "small", role: "status" },
      `${found.length} of ${wanted.pigments.length} shown. ${wanted.ticked.size} ticked: ${listed(wanted)}.`),
    h("ul", { class: "pigments", tabindex: 0, "aria-label": "Pigments" },
      found.map((pigment) => row(pigment, wanted, draw))),
    othersPart(wanted, draw),
    h("p", { role: "alert", class: "why" }, wanted.why),
    h("div", { class: "row" },
      h("button", { type: "submit", class: "strong" }, "Start this box"),
      h("button", { type: "button", onclick: (event) => event.target.closest("dialog")?.close() }, "Cancel")));
}

/**
 * Tubes whose pigment is not in the list.
 *
 * @param {Wanted} wanted
 * @param {() => void} draw
 */
function othersPart(wanted, draw) {
  const add = () => {
    wanted.others.push({ name: "", pigment: "", neighbour: "unknown" });
    draw();
  };
  return h("div", { key: "others", class: "other-tubes" },
    wanted.others.length > 0 && h("p", { class: "small" },
      "Choose the pigment that comes nearest. The tube may be far from it until you photograph its dabs."),
    wanted.others.map((tube, number) => otherTube(tube, number, wanted, draw)),
    h("button", { key: "add", type: "button", onclick: add }, "Add a tube that is not listed"));
}

/**
 * @param {Wanted["others"][number]} tube
 * @param {number} number
 * @param {Wanted} wanted
 * @param {() => void} draw
 */
function otherTube(tube, number, wanted, draw) {
  const leave = () => {
    wanted.others.splice(number, 1);
    draw();
  };
  return h("div", { key: `other-${number}`, class: "row", role: "group", "aria-label": `Tube ${number + 1} that is not listed` },
    h("label", { class: "field" }, h("span", null, "You call it"),
      h("input", {
        value: tube.name,
        maxlength: 60,
        autocomplete: "off",
        oninput: (event) => { tube.name = event.target.value; },
      })),
    h("label", { class: "field" }, h("span", null, "Pigment on its label, if any"),
      h("input", {
        value: tube.pigment,
        maxlength: 60,
        autocomplete: "off",
        oninput: (event) => { tube.pigment = event.target.value; },
      })),
    h("label", { class: "field" }, h("span", null, "It looks most like"),
      h("select", { value: tube.neighbour, onchange: (event) => { tube.neighbour = event.target.value; } },
        h("option", { value: "unknown", selected: tube.neighbour === "unknown" }, "none of them"),
        wanted.pigments.filter(({ like }) => !like).map(({ key, name }) => (
          h("option", { key, value: key, selected: key === tube.neighbour }, name))))),
    h("button", { type: "button", onclick: leave }, "Take it off"));
}

/**
 * What is only known by a neighbour is shown when it is looked for, or ticked.
 *
 * @param {Listed} pigment @param {Wanted} wanted
 */
function isShown(pigment, { search, ticked }) {
  if (pigment.like && !search.trim()) return ticked.has(pigment.key);
  const text = plain([pigment.name, pigment.key, ...pigment.index_names, ...pigment.called].join(" | "));
  const words = plain(search).split(/\s+/).filter(Boolean);
  return words.every((word) => (/\d/.test(word) ? new RegExp(`(^|[^a-z0-9])${word}($|[^0-9])`).test(text) : text.includes(word)));
}

/**
 * What is called just so comes first, then what begins so, the plainest name before the longer.
 *
 * @param {Listed[]} found
 * @param {string} search
 */
function bestFirst(found, search) {
  const words = plain(search).trim();
  if (!words) return found;
  /** @param {Listed} pigment */
  const rank = ({ name, called }) => {
    const names = [name, ...called].map((each) => plain(each).trim());
    if (names.includes(words)) return 0;
    return names.some((each) => each.startsWith(words)) ? 1 : 2;
  };
  return found.toSorted((one, other) => rank(one) - rank(other) || one.name.length - other.name.length);
}

/**
 * A name in one spelling, as labels differ: capitals, accents, apostrophes, hyphens, grey and gray.
 *
 * @param {string} text
 */
function plain(text) {
  return text.normalize("NFKD").toLowerCase().replace(/[\u0300-\u036f'’‘`]/g, "").replace(/[-()_,.]/g, " ").replace(/\bgray\b/g, "grey")
    .replace(/\bp(y|o|r|v|b|g|br|bk|w) +(?=\d)/g, "p$1");
}

/** @param {Wanted} wanted */
function listed({ pigments, ticked }) {
  const names = pigments.filter((pigment) => ticked.has(pigment.key)).map((pigment) => pigment.name);
  return names.join("; ") || "none";
}

/** @param {Listed} pigment @param {Wanted} wanted @param {() => void} draw */
function row(pigment, wanted, draw) {
  const ticked = wanted.ticked.has(pigment.key);
  const toggle = () => {
    wanted.ticked[ticked ? "delete" : "add"](pigment.key);
    draw();
  };
  return h("li", { key: pigment.key },
    h("label", { class: "tube" },
      h("input", { type: "checkbox", checked: ticked, onchange: toggle }),
      tubePaint(pigment),
      tubeWords(pigment.name, told(pigment))),
    ticked && ownName(pigment, wanted));
}

/**
 * What the painter calls the tube, where it is not called by its pigment.
 *
 * @param {Listed} pigment
 * @param {Wanted} wanted
 */
function ownName(pigment, wanted) {
  return h("label", { key: "own", class: "own-name" }, h("span", { class: "small" }, "you call it"),
    h("input", {
      "aria-label": `What you call ${pigment.name}`,
      value: wanted.names[pigment.key] ?? "",
      placeholder: tubeName(pigment),
      maxlength: 60,
      autocomplete: "off",
      oninput: (event) => { wanted.names[pigment.key] = event.target.value; },
    }));
}

/** @param {Listed} pigment */
function told(pigment) {
  if (pigment.like) return [...pigment.index_names, `no curves here: taken to be like ${pigment.like}, ${pigment.why}`].join(" · ");
  const caution = pigment.cautions.length && `caution: ${pigment.cautions.join(", ")}`;
  return [pigment.index_names.join(", "), HIDING[pigment.opacity] ?? pigment.opacity, caution].filter(Boolean).join(" · ");
}
