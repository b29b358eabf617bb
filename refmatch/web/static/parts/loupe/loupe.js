/**
 * A loupe at full resolution: the very pixels under the pointer, and the ring round those
 * that are read.
 */
import { h, make } from "../../core/dom.js";
import { styles } from "../../core/styles.js";
import { Picture } from "../stage/picture.js";

await styles(import.meta.url, "loupe.css");

const SHARE = 0.42;
const CLOSEST = 10;

/** A loupe in `root`, for one studio. */
export class Loupe {
  /** @param {HTMLElement} root @param {Studio} studio */
  constructor(root, studio) {
    this.root = root;
    this.studio = studio;
    root.classList.add("loupe");
    this.picture = new Picture(root);
    this.ring = make(h("span", { class: "loupe-ring", "aria-hidden": true }));
    root.append(this.ring);
  }

  /**
   * Look at a spot with its diameter; the ring fills a good third of the loupe.
   *
   * @param {Spot} spot
   */
  look({ x_px, y_px, diameter_px }) {
    const { photo } = this.studio.state;
    const side = this.root.clientWidth || 1;
    const scale = Math.min(CLOSEST, (side * SHARE) / diameter_px);
    /** @param {string} path */
    const url = (path) => this.studio.url(path);
    this.picture.show({ url, look: photo.look, kind: "balanced", over: null });
    this.picture.place({
      scale,
      left: side / 2 - x_px * scale,
      top: this.root.clientHeight / 2 - y_px * scale,
      frame: { width_px: photo.width_px, height_px: photo.height_px },
      room: { width: side, height: this.root.clientHeight },
    });
    this.ring.style.setProperty("--ring", `${diameter_px * scale}px`);
  }

  leave() {
    this.picture.leave();
  }
}
