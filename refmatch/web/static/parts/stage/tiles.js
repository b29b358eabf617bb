/**
 * Sharp pieces laid over the coarse photo, only where it is seen and only as sharp as
 * the screen can show.
 *
 * The server cuts the photo into squares of 512 pixels, whole and reduced by 2, 4, 8 ...
 * A few are asked for at a time, the newest wish first; those of another reduction stay
 * until the right ones have come, so nothing ever blinks.
 */

/** @typedef {{ at: [number, number, number], left: number, top: number, width: number, height: number }} Tile */
/** @typedef {{ image: HTMLImageElement, tile: Tile, ready: boolean }} Kept */

const SIDE = 512;
const AT_ONCE = 4;
const MOST_KEPT = 96;

/** The tiles in one `sheet`, an element that stands for the whole frame. */
export class Tiles {
  /** @type {Map<string, Kept>} */
  #here = new Map();
  /** @type {Map<string, Tile>} */
  #wanted = new Map();
  #busy = 0;

  /** @param {HTMLElement} sheet */
  constructor(sheet) {
    this.sheet = sheet;
  }

  /**
   * Ask for what the sight needs: `url(reduction, column, row)` names a tile, `coarsePx`
   * is the width of the picture that already lies there.
   *
   * @param {(reduction: number, column: number, row: number) => string} url
   * @param {Sight} sight
   * @param {number} coarsePx
   */
  want(url, sight, coarsePx) {
    this.#wanted = new Map(tilesIn(sight, coarsePx).map((tile) => [url(...tile.at), tile]));
    this.#fetchMore();
    this.#tidy();
  }

  clear() {
    this.#wanted.clear();
    [...this.#here.keys()].forEach((src) => this.#drop(src));
  }

  #fetchMore() {
    for (const [src, tile] of this.#wanted) {
      if (this.#busy >= AT_ONCE) return;
      if (!this.#here.has(src)) this.#fetchOne(src, tile);
    }
  }

  /** @param {string} src @param {Tile} tile */
  async #fetchOne(src, tile) {
    const kept = { image: new Image(), tile, ready: false };
    this.#here.set(src, kept);
    this.#busy += 1;
    kept.image.src = src;
    const came = await kept.image.decode().then(() => true, () => false);
    this.#busy -= 1;
    if (this.#here.get(src) === kept && came) this.#lay(kept);
    this.#fetchMore();
    this.#tidy();
  }

  /** @param {Kept} kept */
  #lay(kept) {
    const { image, tile } = kept;
    Object.assign(image, { alt: "", draggable: false, className: "tile" });
    Object.entries({
      left: `${tile.left}px`,
      top: `${tile.top}px`,
      width: `${tile.width}px`,
      height: `${tile.height}px`,
      "z-index": String(20 - Math.log2(tile.at[0])),
    }).forEach(([name, value]) => image.style.setProperty(name, value));
    kept.ready = true;
    this.sheet.append(image);
  }

  /** Let go of what is of another sharpness once all is there, and of too many. */
  #tidy() {
    const complete = [...this.#wanted.keys()].every((src) => this.#here.get(src)?.ready);
    const reduction = this.#wanted.values().next().value?.at[0];
    for (const [src, kept] of this.#here) {
      const other = kept.tile.at[0] !== reduction;
      if (!kept.ready || this.#wanted.has(src)) continue;
      if ((complete && other) || this.#here.size > MOST_KEPT) this.#drop(src);
    }
  }

  /** @param {string} src */
  #drop(src) {
    this.#here.get(src)?.image.remove();
    this.#here.delete(src);
  }
}

/** @param {Sight} sight @param {number} coarsePx @returns {Tile[]} */
function tilesIn(sight, coarsePx) {
  const dense = sight.scale * devicePixelRatio;
  if (dense * sight.frame.width_px <= coarsePx * 1.05) return [];
  const reduction = 2 ** Math.max(0, Math.floor(Math.log2(1 / dense) + 0.05));
  const side = SIDE * reduction;
  const columns = range(-sight.left, sight.room.width, sight.scale, sight.frame.width_px, side);
  const rows = range(-sight.top, sight.room.height, sight.scale, sight.frame.height_px, side);
  return rows.flatMap((row) => columns.map((column) => ({
    at: [reduction, column, row],
    left: column * side,
    top: row * side,
    width: Math.min(side, sight.frame.width_px - column * side),
    height: Math.min(side, sight.frame.height_px - row * side),
  })));
}

/**
 * @param {number} start
 * @param {number} room
 * @param {number} scale
 * @param {number} whole
 * @param {number} side
 */
function range(start, room, scale, whole, side) {
  const first = Math.max(0, Math.floor(start / scale / side));
  const end = Math.min(whole, (start + room) / scale);
  const count = Math.max(0, Math.ceil(end / side) - first);
  return Array.from({ length: count }, (_, i) => first + i);
}
