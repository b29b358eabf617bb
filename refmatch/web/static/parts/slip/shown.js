/**
 * Which step of each hole's mix is being looked at: null is the finished mix.
 *
 * Only the eye asks for it, so the server need not know.
 */
const steps = new Map();

/**
 * The step looked at, as its place in `recipe.steps`, or null for the finished mix.
 *
 * @param {Hole} hole
 * @param {Recipe} recipe
 */
export function stepShown(hole, recipe) {
  const seen = steps.get(hole.key);
  return seen && seen.recipe === nameOf(recipe) ? seen.step : null;
}

/**
 * Look at a step, or with null at the finished mix.
 *
 * @param {Hole} hole
 * @param {Recipe} recipe
 * @param {number | null} step
 */
export function showStep(hole, recipe, step) {
  steps.set(hole.key, { recipe: nameOf(recipe), step });
}

/** @param {Recipe} recipe */
function nameOf(recipe) {
  return recipe.lines.map((line) => `${line.parts} ${line.words}`).join("+");
}
