/**
 * Figures as they are told.
 */

/**
 * A distance in ΔE00, to a tenth.
 *
 * @param {number} value
 */
export function one(value) {
  return value.toFixed(1);
}

/**
 * Lab in whole steps, with a true minus.
 *
 * @param {Colour} colour
 */
export function labWords({ lab }) {
  const [lightness, a, b] = lab.map((value) => value.toFixed(0).replace(/^-0$/, "0").replace("-", "−"));
  return `L* ${lightness}, a* ${a}, b* ${b}`;
}
