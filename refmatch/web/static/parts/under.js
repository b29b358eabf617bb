/**
 * The two pictures that stay under the photo on every view that shows it: the value
 * ladder, and hue and chroma.
 *
 *     const under = new Under(root, studio);   under.update(state);   under.leave();
 */
import { morph } from "../core/dom.js";
import { styles } from "../core/styles.js";
import { chart } from "./chart/chart.js";
import { Reach } from "./chart/reach.js";
import { ladder } from "./ladder/ladder.js";

await styles(import.meta.url, "under.css");

/** Both pictures in `root`. */
export class Under {
  /** @param {HTMLElement} root @param {Studio} studio */
  constructor(root, studio) {
    this.root = root;
    this.studio = studio;
    root.classList.add("under");
    this.reach = new Reach(studio, () => this.update(studio.state));
  }

  /** @param {State} state */
  update(state) {
    morph(this.root, ladder(state, this.studio), chart(state, this.studio, this.reach.of(state)));
  }

  leave() {
    this.reach.leave();
    morph(this.root);
  }
}
