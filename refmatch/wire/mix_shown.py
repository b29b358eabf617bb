"""A recipe as a slip of the page shows it: what is laid out, and the colour of each thing."""

from __future__ import annotations

from collections.abc import Sequence

from refmatch.colorimetry.spectrum import Array
from refmatch.paint.box import Box, Tube
from refmatch.painting.model import TubeOnTable
from refmatch.recipe.lamps import labs_under_lamps
from refmatch.recipe.mixture import predict
from refmatch.recipe.model import Laid, Recipe
from refmatch.recipe.together import spectrum
from refmatch.say.recipe import difference_words, distance_words, laid_words, total_words
from refmatch.wire.envelope import Json
from refmatch.wire.mixing import wire_recipe


def wire_shown(recipe: Recipe, box: Box, table: Sequence[TubeOnTable]) -> Json:
    """Return all of `wire_recipe` with what a slip shows besides; colours are left bare Lab.

    Args:
        recipe: mixed from this box.
        box: the whole box, with the skin that its paint is looked at with.
        table: its tubes' masstones.

    Added are ``colour``, ``lines`` (what is laid out, most first, each with its own
    colour and its share of the whole, 0 to 1), ``under`` (its colour by lamp), a colour
    after every step, ``total_words``, ``distance_words`` and ``difference_words``.
    `filled` tells the bare Lab as colours.

    Raises:
        UnknownTube: the recipe names a tube that is not in the box.
    """
    told = wire_recipe(recipe)
    for step, mixed in zip(told["steps"], recipe.steps, strict=True):
        step["colour"] = mixed.lab
    total = sum(laid.parts for laid in recipe.laid)
    return {
        **told,
        "colour": recipe.lab,
        "lines": [
            {
                "parts": laid.parts,
                "tube": laid.tube,
                "words": laid_words(laid),
                "colour": _laid_colour(laid, recipe, box, table),
                "share": round(laid.parts / total, 4),
            }
            for laid in recipe.laid
        ],
        "total_words": total_words(recipe, box.parts),
        "distance_words": distance_words(recipe),
        "difference_words": difference_words(recipe),
        "under": labs_under_lamps(spectrum(recipe, box)),
    }


def _laid_colour(laid: Laid, recipe: Recipe, box: Box, table: Sequence[TubeOnTable]) -> Array:
    """Return the colour of a tube, or of a let-down of it, as it is laid out."""
    if not laid.white_parts:
        return next(tube.masstone for tube in table if tube.name == laid.tube)
    tubes = [box.tube(laid.tube), _white(recipe, box)]
    return predict(tubes, [1.0, laid.white_parts], box.surface)


def _white(recipe: Recipe, box: Box) -> Tube:
    """Return the white that let-downs were made in: where the box's is held out, the next."""
    used = [box.tube(portion.tube) for portion in recipe.portions]
    whites = [tube for tube in used if tube.is_white]
    return box.white if box.white in whites or not whites else whites[0]
