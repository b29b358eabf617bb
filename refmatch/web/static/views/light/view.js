/**
 * Light: the colour of the light is taken out of the photo, as much of it as the painter
 * wants gone; and the picture is studied before a hole is punched.
 */
import { h, morph, room } from "../../core/dom.js";
import { say } from "../../core/say.js";
import { styles } from "../../core/styles.js";
import { stage } from "../../parts/stage/stage.js";
import { GREY_CARD_LSTAR, isAsShot, KINDS, kindOf, lightWith, resultSentence, spotOf } from "./asked.js";
import { guessPanel } from "./guesses.js";
import { keepPanel } from "./keep.js";
import { Kept } from "./kept.js";
import { Parting } from "./parting.js";
import { SpotReading } from "./reading.js";
import { resultPanel } from "./result.js";
import { SpotLayer } from "./spot.js";
import { spotForm } from "./spotpanel.js";
import { Studies } from "./studies.js";
import { studyPanel } from "./study.js";
import { lineRange, strip } from "./tools.js";

/** @typedef {import("./asked.js").Kind} Kind */
/** @typedef {import("./parting.js").PhotoExtent} PhotoExtent */

await styles(import.meta.url, "view.css");
await styles(import.meta.url, "panels.css");

/** @type {View} */
export const view = { word: "Light", title: "Light", mount: (root, studio) => new Light(root, studio) };

const SHARE = 0.03;
const LEAST_PX = 9;
const narrow = matchMedia("(max-width: 59.99rem)");

export class Light {
  study = "photo";
  parted = true;
  clipped = false;
  line = 50;
  /**
   * What was chosen of the spot since it was taken.
   *
   * @type {{ kind?: Kind, lstar?: number, diameter_px?: number }}
   */
  #own = {};
  /** @type {string | null} */
  #said = null;
  #pinned = { frame: "", look: "" };

  /** @param {HTMLElement} root @param {Studio} studio */
  constructor(root, studio) {
    this.root = root;
    this.studio = studio;
    morph(root, frame());
    this.keptHand = new Kept(studio, () => this.#draw(), (percent) => this.change({ keep_light_percent: percent }, "light keep"));
    this.reading = new SpotReading(room(root, ".alone-room"), studio, () => ({ kind: KINDS[this.kind].method, lstar: this.lstarAsked, exposed: this.exposed }));
    this.photo = stage(room(root, ".stage-room"), studio, {
      spotWord: "take the spot for neutral",
      holes: false,
      onSpot: (spot) => this.spot.put({ diameter_px: this.diameter, ...spot }, KINDS[this.kind].word),
      onPoint: (spot, how) => this.reading.point(spot && { diameter_px: this.diameter, ...spot }, how),
      onSight: () => this.#drawTools(),
    });
    this.photo.show({ grid: false });
    this.studies = new Studies(studio, () => this.#draw(), this.photo.picture.laid);
    this.parting = new Parting(studio, {
      moved: (percent) => this.moveLine(percent),
      extent: (extent) => this.#alignRange(extent),
    });
    this.spot = new SpotLayer({
      moved: (spot) => this.take(spot),
      onPoint: (spot) => this.reading.point(spot),
      toPhoto: () => this.photo.surface.focus(),
    });
    this.photo.add(this.parting);
    this.photo.add(this.spot);
    this.arrange = () => arrange(root);
    this.arrange();
    narrow.addEventListener("change", this.arrange);
  }

  /** @param {State} state */
  update(state) {
    this.keptHand.update(state);
    this.studies.want(this.study);
    this.photo.update();
    const spot = spotOf(state.light);
    this.spot.show(spot, KINDS[this.kind].word);
    this.reading.taken(spot);
    this.#draw();
    this.#tell(state);
  }

  leave() {
    narrow.removeEventListener("change", this.arrange);
    [this.keptHand, this.spot, this.reading, this.studies, this.photo].forEach((part) => part.leave());
    morph(this.root);
  }

  /** What a click is taken for: as the light goes now, or as was chosen since. */
  get kind() {
    return this.#own.kind ?? kindOf(this.studio.state.light) ?? "thing";
  }

  get lstar() {
    return this.#own.lstar ?? this.studio.state.light.asked.lstar ?? 50;
  }

  get lstarAsked() {
    return { grey: this.lstar, card: GREY_CARD_LSTAR, thing: null, white: null }[this.kind];
  }

  /** Whether the spot sets the exposure: never by a thing whose lightness nobody has said. */
  get exposed() {
    const { light } = this.studio.state;
    return this.kind === kindOf(light) ? light.asked.set_exposure : this.kind !== "thing";
  }

  get diameter() {
    const { photo, light } = this.studio.state;
    const usual = Math.max(LEAST_PX, Math.round(SHARE * Math.min(photo.width_px, photo.height_px)));
    return this.spot?.now?.diameter_px ?? this.#own.diameter_px ?? light.asked.diameter_px ?? usual;
  }

  get kept() {
    return this.keptHand.percent;
  }

  get canPart() {
    return this.study === "photo" && !isAsShot(this.studio.state);
  }

  get isParted() {
    return this.parted && this.canPart;
  }

  /**
   * Change the light; what is not named stays as it is asked now.
   *
   * @param {Partial<AskedLight>} changes
   * @param {string | null} [instead]
   */
  change(changes, instead = null) {
    return this.studio.change("light", lightWith(this.studio.state, changes), instead);
  }

  /**
   * Take a spot for neutral, as what was chosen.
   *
   * @param {Spot} spot
   */
  take(spot) {
    const { x_px, y_px, diameter_px } = spot;
    const { method } = KINDS[this.kind];
    const taken = this.change({ method, x_px, y_px, diameter_px, lstar: this.lstarAsked, set_exposure: this.exposed }, "light spot");
    return taken.then((state) => {
      this.#own = {};
      this.#draw();
      return state;
    });
  }

  /** @param {Kind} kind */
  takeFor(kind) {
    this.#own.kind = kind;
    this.#takeAgain();
  }

  /**
   * What is typed goes for the next click already, whether or not the field was left before it.
   *
   * @param {number} lstar
   */
  typeLightness(lstar) {
    this.#own.lstar = lstar;
  }

  /** @param {number} lstar */
  stateLightness(lstar) {
    this.#own.lstar = lstar;
    this.#takeAgain();
  }

  /** @param {number} factor */
  size(factor) {
    if (this.spot.now) this.spot.size(factor);
    else this.#own.diameter_px = Math.max(LEAST_PX, Math.round(this.diameter * factor));
    this.#draw();
  }

  /** @param {number} percent */
  tryKeeping(percent) {
    this.keptHand.try(percent);
  }

  saveKept() {
    this.keptHand.save();
  }

  /** @param {string} study */
  see(study) {
    this.study = study;
    this.studies.want(study);
    this.#draw();
  }

  /** @param {boolean} on */
  part(on) {
    this.parted = on;
    this.#draw();
  }

  /** @param {boolean} on */
  showClipped(on) {
    this.clipped = on;
    this.#draw();
  }

  /** @param {number} percent */
  moveLine(percent) {
    this.line = percent;
    this.#draw();
  }

  async punchMasses() {
    const state = await this.studio.change("punch_masses");
    if (state) location.hash = `#/${this.studio.id}/look`;
  }

  /**
   * A small picture, asked for once for each crop: guesses hang on the photo only.
   *
   * @param {string} method
   */
  pictureOf(method) {
    const { photo } = this.studio.state;
    const frameNow = [...Object.values(photo.frame), this.studies.guesses === null].join();
    if (this.#pinned.frame !== frameNow) this.#pinned = { frame: frameNow, look: photo.look };
    return this.studio.url(`pictures/${this.#pinned.look}/${method}.jpg`);
  }

  renewPictures() {
    if (this.#pinned.look === this.studio.state.photo.look) return;
    this.#pinned.frame = "";
    this.#draw();
  }

  #takeAgain() {
    const spot = spotOf(this.studio.state.light);
    if (spot) this.take(spot);
    this.#draw();
  }

  /** @param {State} state */
  #tell(state) {
    const sentence = resultSentence(state);
    if (this.#said !== null && this.#said !== sentence) say(sentence);
    this.#said = sentence;
  }

  /** @param {PhotoExtent} extent */
  #alignRange({ left, right, room: { width } }) {
    const { style } = room(this.root, ".line-room");
    style.setProperty("--left", `${left}px`);
    style.setProperty("--right", `${width - right}px`);
  }

  #draw() {
    if (!this.spot) return;
    const { state } = this.studio;
    const over = this.clipped && this.study === "photo" ? "clipped.png" : null;
    this.photo.show({ picture: this.study === "photo" ? this.keptHand.picture : this.study, over });
    this.parting.show({ on: this.isParted, percent: this.line, over });
    /** @param {string} name @param {Child[]} parts */
    const put = (name, ...parts) => morph(room(this.root, `.${name}`), ...parts);
    put("result-room", resultPanel(state, this.studies.guesses));
    put("spot-form", spotForm(this));
    put("keep-room", keepPanel(state, this));
    put("guess-room", guessPanel(state, this, this.studies.guesses));
    put("study-room", studyPanel(state, this, this.studies.values));
    put("onward", h("a", { class: "button strong", href: `#/${this.studio.id}/look` }, "On to Look: punch holes"));
    this.#drawTools();
  }

  #drawTools() {
    if (!this.spot) return;
    morph(room(this.root, ".line-room"), lineRange(this));
    morph(room(this.root, ".photo-tools"), strip(this.studio.state, this));
  }
}

/**
 * Put the studies under the photo, or last on a narrow page: where they are seen is where Tab finds them.
 *
 * @param {HTMLElement} root
 */
function arrange(root) {
  const studies = room(root, ".study-room");
  if (narrow.matches) room(root, ".onward").before(studies);
  else room(root, ".photo-side").append(studies);
}

function frame() {
  /** @param {string} name */
  const empty = (name) => h("div", { class: name, own: true });
  return [
    h("h1", { key: "h1", class: "unseen" }, "Light"),
    h("div", { key: "table", class: "table light" },
      h("section", { class: "photo-side", "aria-label": "Photo" },
        h("div", { class: "photo-block" }, empty("stage-room"), empty("line-room")),
        empty("photo-tools"),
        empty("study-room")),
      h("section", { class: "slip-side", "aria-label": "The light" },
        empty("result-room"),
        h("section", { class: "spot-room panel", "aria-labelledby": "light-spot" },
          h("h2", { id: "light-spot" }, "Click something neutral"),
          h("p", { class: "small" }, "Whatever had no colour of its own; and say below what it is. By keyboard: arrow keys on the photo, then Enter."),
          empty("alone-room"),
          empty("spot-form")),
        empty("keep-room"),
        empty("guess-room"),
        empty("onward"))),
  ];
}
