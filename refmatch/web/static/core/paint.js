/**
 * How a COLOUR of the server gets on the screen.
 *
 * The server says each colour three times: Lab, the nearest sRGB, and in Display P3.
 * Both CSS colours are put on the element as `--paint` and `--paint-wide`; base.css
 * gives every `[data-fits]` element the one that the screen can show, as background
 * (or fill, in SVG). No colour is ever reckoned here.
 *
 *     h("span", { class: "swatch", ...painted(hole.colour) })
 */
import { h } from "./dom.js";

const wide = matchMedia("(color-gamut: p3)");

/**
 * Return the props that put a colour on an element made with `h`.
 *
 * @param {Colour} colour
 */
export function painted(colour) {
  return {
    style: { "--paint": colour.srgb, "--paint-wide": colour.p3 },
    "data-fits": colour.fits,
  };
}

/**
 * Put a colour on an element that is there already, for what changes many times a second.
 *
 * @param {HTMLElement} element
 * @param {Colour} colour
 */
export function paintOn(element, colour) {
  element.style.setProperty("--paint", colour.srgb);
  element.style.setProperty("--paint-wide", colour.p3);
  element.dataset.fits = colour.fits;
}

/**
 * Say whether this screen shows the colour as it is.
 *
 * @param {Colour} colour
 */
export function shows(colour) {
  return colour.fits === "srgb" || (colour.fits === "p3" && wide.matches);
}

/**
 * The sentence for a colour that this screen cannot show, or "".
 *
 * @param {Colour} colour
 */
function screenWords(colour) {
  return shows(colour) ? "" : "stronger than this screen can show";
}

/**
 * The mark of a colour that this screen cannot show: a sign and words; null if it can.
 *
 * @param {Colour} colour
 */
export function screenMark(colour) {
  if (shows(colour)) return null;
  return h("span", { class: "screen-mark" },
    h("span", { class: "sign", "aria-hidden": true }, "◪"), ` ${screenWords(colour)}`);
}
