/**
 * The start: drop a photo, go on with a painting, or try a sample.
 */
import { get, post } from "../../core/api.js";
import { h, morph, pressBefore } from "../../core/dom.js";
import { sendPhoto } from "../../core/send.js";
import { lead, wasLed } from "../../core/led.js";
import { styles } from "../../core/styles.js";
import { damagedBoxes, damagedCards, paintingCards, sampleCards } from "./cards.js";

await styles(import.meta.url, "view.css");

/** @type {View} */
export const view = { word: "Start", title: "Start", mount: (root) => new Start(root) };

/**
 * What is said of what was done on the shelf, and what takes it back.
 *
 * @type {Record<string, { words?: (title: string, now: string) => string, back: string }>}
 */
const WAYS = {
  rename: { words: (title, now) => `“${title}” is now called “${now}”.`, back: "rename" },
  copy: { words: (title, now) => `“${title}” is copied as “${now}”.`, back: "delete" },
  put_away: { words: (title) => `“${title}” is put away; you find it below.`, back: "take_out" },
  take_out: { words: (title) => `“${title}” lies with your paintings again.`, back: "put_away" },
  delete: { words: (title) => `“${title}” is deleted; its folder lies under “deleted”.`, back: "restore" },
  restore: { back: "delete" },
};

const KINDS = "image/*,.heic,.heif,.avif,.tif,.tiff,.dng";

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
    this.led = !wasLed();
    /** @type {{ id: string, words: string, back: string, title: string, now: string } | null} */
    this.tidied = null;
    const { signal } = this.#drops;
    addEventListener("dragover", (event) => this.#drag(event, true), { signal });
    addEventListener("dragleave", (event) => this.#drag(event, false), { signal });
    addEventListener("drop", (event) => this.#drop(event), { signal });
    this.#list();
  }

  update() {
    const { paintings = [], put_away = [] } = this.known ?? {};
    const out = paintings.filter(({ id }) => !put_away.includes(id));
    const away = paintings.filter(({ id }) => put_away.includes(id));
    /** @type {import("./cards.js").Tidying["act"]} */
    const act = (painting, way, title = "") => this.#tidy(painting, way, title);
    morph(this.root, h("div", { class: "start" },
      this.#begin(),
      this.#undo(),
      out.length > 0 && part("Your paintings", paintingCards(out, { away: false, act })),
      away.length > 0 && h("details", { key: "away", class: "start-part put-away" },
        h("summary", null, `Put away (${away.length})`), paintingCards(away, { away: true, act })),
      this.known && this.known.damaged.length > 0 && part("Damaged paintings",
        damagedCards(this.known.damaged, this.doing !== "", (id, name) => this.#rescue(id, name))),
      this.known && this.known.damaged_boxes.length > 0 && part("Damaged boxes",
        damagedBoxes(this.known.damaged_boxes, this.doing !== "", (id, name) => this.#putBoxAway(id, name))),
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
      h("label", { key: "led", class: "lead-me" },
        h("input", { type: "checkbox", checked: this.led, onchange: ({ target }) => this.#show({ led: target.checked }) }),
        "Lead me through it, with my own photo or a sample (the garden table is the one to begin with)"),
      h("p", { class: "small" }, "JPEG, PNG, TIFF, WebP, HEIC or AVIF, up to 200 MB."),
      h("a", { key: "teach", class: "way-to", href: "#/class" }, "Teach a class with a painting of yours"),
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
      async () => (await post(`paintings/${id}/rescue`)).id, false);
  }

  /** @param {string} id @param {string} name */
  async #putBoxAway(id, name) {
    this.#show({ doing: `Putting “${name}” away …`, refusal: "" });
    try {
      await post(`boxes/${id}/put-away`);
      await this.#list();
      this.#show({ doing: "" });
    } catch (error) {
      this.#refuse(error);
    }
  }

  /** @param {string} doing @param {() => Promise<string>} begin @param {boolean} leads */
  async #open(doing, begin, leads = this.led) {
    if (this.doing) return;
    this.#show({ doing, refusal: "" });
    try {
      const id = await begin();
      if (leads || !wasLed()) lead(leads ? id : "");
      location.hash = `#/${id}`;
    } catch (error) {
      this.#refuse(error);
    }
  }

  #list() {
    return get("start").then((known) => this.#show({ known }), (error) => this.#refuse(error));
  }

  /**
   * Do something with a painting, and offer the way back.
   *
   * @param {{ id: string, title: string }} painting
   * @param {string} way
   * @param {string} title
   */
  async #tidy(painting, way, title) {
    const { words, back } = WAYS[way];
    try {
      const { id } = await post(`paintings/${painting.id}/shelf`, title ? { do: way, title } : { do: way });
      const tidied = words && { id, words: words(painting.title, title), back, title: painting.title, now: title || painting.title };
      this.#show({ tidied: tidied || null, refusal: "" });
      await this.#list();
    } catch (error) {
      this.#refuse(error);
    }
  }

  /** What was done last, in words, and its undoing. */
  #undo() {
    const { tidied } = this;
    return h("div", { key: "tidied", role: "status" }, tidied && h("p", { class: "tidied" },
      tidied.words,
      h("button", {
        type: "button",
        onclick: () => this.#tidy({ id: tidied.id, title: tidied.now }, tidied.back, tidied.back === "rename" ? tidied.title : ""),
      }, "Undo")));
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
