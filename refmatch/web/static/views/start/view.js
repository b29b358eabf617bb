/**
 * The start: drop a photo, go on with a painting, or try a sample.
 */
import { get, post } from "../../core/api.js";
import { h, morph, pressBefore } from "../../core/dom.js";
import { sendPhoto } from "../../core/send.js";
import { styles } from "../../core/styles.js";
import { damagedCards, paintingCards, sampleCards } from "./cards.js";

await styles(import.meta.url, "view.css");

/** @type {View} */
export const view = { word: "Start", title: "Start", mount: (root) => new Start(root) };

const KINDS = "image/*,.heic,.heif,.tif,.tiff";

class Start {
  #drops = new AbortController();

  /** @param {HTMLElement} root */
  constructor(root) {
    this.root = root;
    /** @type {Beginnings | null} */
    this.known = null;
    this.doing = "";
    /** @type {number | null} */
    this.share = null;
    this.refusal = "";
    this.over = false;
    const { signal } = this.#drops;
    addEventListener("dragover", (event) => this.#drag(event, true), { signal });
    addEventListener("dragleave", (event) => this.#drag(event, false), { signal });
    addEventListener("drop", (event) => this.#drop(event), { signal });
    get("start").then((known) => this.#show({ known }), (error) => this.#refuse(error));
  }

  update() {
    morph(this.root, h("div", { class: "start" },
      this.#begin(),
      this.known && this.known.paintings.length > 0 && part("Your paintings",
        paintingCards(this.known.paintings)),
      this.known && this.known.damaged.length > 0 && part("Damaged paintings",
        damagedCards(this.known.damaged, this.doing !== "", (id, name) => this.#rescue(id, name))),
      this.known && part("Samples to try", sampleCards(this.known.samples, this.doing !== "",
        (name, title) => this.#try(name, title)))));
  }

  leave() {
    this.#drops.abort();
    this.root.replaceChildren();
  }

  #begin() {
    return h("section", {
      key: "begin",
      class: ["panel", "begin", this.over && "over"],
      "aria-labelledby": "begin",
    },
      h("h1", { id: "begin" }, "Begin with a photo"),
      h("p", { class: "lead" },
        h("span", { class: "by-mouse" }, "Drop it anywhere on this page, or choose it. "),
        "It is copied and never changed, and nothing goes out to the internet."),
      h("div", { class: "row" },
        this.#picker("choose", "Choose a photo", {}),
        this.#picker("take", "Take a photo", { capture: "environment" })),
      h("p", { class: "small" }, "JPEG, PNG, TIFF, WebP or HEIC, up to 200 MB."),
      this.#word());
  }

  /** @param {string} key @param {string} word @param {Props} more */
  #picker(key, word, more) {
    /** @param {On<MouseEvent>} event */
    const pick = (event) => this.doing || pressBefore(event.currentTarget);
    return h("span", { key, class: key },
      h("input", {
        type: "file",
        accept: KINDS,
        hidden: true,
        "aria-label": word,
        ...more,
        onchange: (event) => this.#take(event.target),
      }),
      h("button", {
        type: "button",
        class: key === "choose" && "strong",
        "aria-disabled": this.doing !== "",
        onclick: pick,
      }, word));
  }

  #word() {
    return [
      h("p", { key: "doing", class: "doing", role: "status" }, this.doing),
      this.share !== null && h("progress", {
        key: "share", "aria-label": "Sent", max: 1, value: this.share,
      }),
      h("p", { key: "refusal", class: "refusal", role: "alert" }, this.refusal && [
        h("span", { class: "sign", "aria-hidden": true }, "!"), " ", this.refusal]),
    ];
  }

  /** @param {HTMLInputElement} input */
  #take(input) {
    const file = input.files?.[0];
    input.value = "";
    if (file) this.#send(file);
  }

  /** @param {DragEvent} event @param {boolean} over */
  #drag(event, over) {
    event.preventDefault();
    const within = !over && event.relatedTarget !== null;
    if (over !== this.over && !within) this.#show({ over });
  }

  /** @param {DragEvent} event */
  #drop(event) {
    event.preventDefault();
    this.#show({ over: false });
    const file = event.dataTransfer?.files[0];
    if (file) this.#send(file);
  }

  /** @param {File} file */
  #send(file) {
    /** @param {number} share */
    const sent = (share) => (share < 1
      ? this.#show({ share })
      : this.#show({ share: null, doing: `Reading “${file.name}” …` }));
    const how = { most: this.known?.most_photo_bytes, sent };
    return this.#open(`Sending “${file.name}” …`,
      async () => (await sendPhoto("paintings", file, how)).id);
  }

  /** @param {string} name @param {string} title */
  #try(name, title) {
    return this.#open(`Laying out “${title}” …`,
      async () => (await post(`paintings?sample=${encodeURIComponent(name)}`)).id);
  }

  /** @param {string} id @param {string} name */
  #rescue(id, name) {
    return this.#open(`Rescuing “${name}” …`,
      async () => (await post(`paintings/${id}/rescue`)).id);
  }

  /** @param {string} doing @param {() => Promise<string>} begin */
  async #open(doing, begin) {
    if (this.doing) return;
    this.#show({ doing, refusal: "" });
    try {
      location.hash = `#/${await begin()}`;
    } catch (error) {
      this.#refuse(error);
    }
  }

  /** @param {Error} error */
  #refuse(error) {
    this.#show({ doing: "", share: null, refusal: error.message });
  }

  /** @param {Partial<Start>} what */
  #show(what) {
    if (this.#drops.signal.aborted) return;
    Object.assign(this, what);
    this.update();
  }
}

/** @param {string} title @param {Child} content */
function part(title, content) {
  return h("section", { key: title, class: "start-part", "aria-label": title },
    h("h2", null, title), content);
}
