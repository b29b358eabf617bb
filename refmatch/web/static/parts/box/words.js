/**
 * A box as a painter speaks of it: "your nine tubes", or "the usual twelve tubes".
 */

const USUAL = "garden table";
const NUMBERS = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];

/**
 * A box as it stands in a list: "my tubes, 9 tubes", or "the usual twelve".
 *
 * @param {BoxCard} box
 */
export function listedWords({ name, tubes }) {
  const count = Array.isArray(tubes) ? tubes.length : tubes;
  if (name === USUAL) return `the usual ${NUMBERS[count] ?? count}`;
  return `${name}, ${count} ${count === 1 ? "tube" : "tubes"}`;
}

/**
 * Say which tubes a painting is mixed from; those put away today are not counted.
 *
 * @param {Table} box
 */
export function boxWords({ name, tubes }) {
  const out = tubes.filter((tube) => !tube.away).length;
  const count = `${NUMBERS[out] ?? out} ${out === 1 ? "tube" : "tubes"}`;
  if (name !== USUAL) return `your ${count}, ${name}`;
  return out === tubes.length ? `the usual ${count}` : `${count} of the usual ${NUMBERS[tubes.length] ?? tubes.length}`;
}
