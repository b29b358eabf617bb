/**
 * A box as a painter speaks of it: "your nine tubes", or "the usual twelve tubes".
 */

const USUAL = "garden table";
const NUMBERS = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];

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
