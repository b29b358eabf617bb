"""Recipes as a slip shows them, kept ready while they stay as they are."""

from __future__ import annotations

import dataclasses
import threading
from collections import OrderedDict
from collections.abc import Iterator, Sequence

from refmatch.colorimetry.spectrum import Array
from refmatch.encode import Finished, Json, encode
from refmatch.paint.box import Box, Tube
from refmatch.painting.model import TubeOnTable
from refmatch.recipe.lamps import labs_under_lamps
from refmatch.recipe.mixture import predict
from refmatch.recipe.model import Laid, Recipe
from refmatch.recipe.together import spectrum
from refmatch.say.recipe import (
    difference_words,
    distance_words,
    laid_rows,
    straight_words,
    total_words,
)
from refmatch.web.colours import filled
from refmatch.web.remedies import REMEDIES


class Kept:
    """Recipes as the page shows them, the last ones kept: a click leaves most as they were.

    A recipe is known by the very parts that it is made of, which are never changed. Safe to ask
    from several threads.
    """

    def __init__(self, most: int = 1000) -> None:
        self._most, self._lock = most, threading.Lock()
        self._kept: OrderedDict[tuple[object, ...], tuple[object, list[Finished]]] = OrderedDict()

    def shown(
        self, recipes: Sequence[Recipe], box: Box, table: Sequence[TubeOnTable]
    ) -> list[Finished]:
        """Return recipes of one box, ready to be sent; see `recipe_shown`."""
        known = (id(box), *(part for recipe in recipes for part in _parts(recipe)))
        with self._lock:
            if known in self._kept:
                self._kept.move_to_end(known)
                return self._kept[known][1]
        content = [recipe_shown(recipe, box, table) for recipe in recipes]
        made = [Finished(one) for one in filled(encode(content, REMEDIES, bare=True))]
        with self._lock:
            self._kept[known] = (recipes, box), made  # held, so that no other gets their place
            while len(self._kept) > self._most:
                self._kept.popitem(last=False)
        return made


def _parts(recipe: Recipe) -> Iterator[object]:
    for field in dataclasses.fields(recipe):
        value = getattr(recipe, field.name)
        yield value if field.name == "flags" else id(value)


KEPT = Kept()


def recipe_shown(recipe: Recipe, box: Box, table: Sequence[TubeOnTable]) -> Json:
    """Return a recipe's JSON with what a slip shows besides; colours are left bare Lab.

    Args:
        recipe: mixed from this box.
        box: the whole box, with the skin that its paint is looked at with.
        table: its tubes' masstones.

    Added are ``colour``, ``lines`` (what is taken of a puddle, its tube null, and what is laid
    out, most first, each with its own colour and its share of the whole, 0 to 1), ``under`` (its
    colour by lamp), a colour after every step, ``straight_words``, ``total_words``,
    ``distance_words`` and ``difference_words``.
    `filled` makes colours of bare Lab.

    Raises:
        UnknownTube: the recipe names a tube that is not in the box.
    """
    said = encode(recipe, REMEDIES)
    for step, mixed in zip(said["steps"], recipe.steps, strict=True):
        step["colour"] = mixed.lab
    rows = laid_rows(recipe)
    total, source = sum(parts for parts, _ in rows), recipe.from_puddle
    paints = [(laid.tube, _laid_colour(laid, recipe, box, table)) for laid in recipe.laid_out]
    return {
        **said,
        "colour": recipe.lab,
        "lines": [
            {
                "parts": parts,
                "tube": tube,
                "words": words,
                "colour": lab,
                "share": round(parts / total, 4),
            }
            for (parts, words), (tube, lab) in zip(
                rows, [(None, source.lab), *paints] if source else paints, strict=True
            )
        ],
        "straight_words": straight_words(recipe),
        "total_words": total_words(recipe, box.parts),
        "distance_words": distance_words(recipe),
        "difference_words": difference_words(recipe),
        "under": labs_under_lamps(spectrum(recipe, box)),
    }


def _laid_colour(laid: Laid, recipe: Recipe, box: Box, table: Sequence[TubeOnTable]) -> Array:
    """Return the colour of a tube, or of a let-down of it, as it is laid out."""
    if not laid.let_down_white_parts:
        return next(tube.masstone for tube in table if tube.name == laid.tube)
    tubes = [box.tube(laid.tube), _white(recipe, box)]
    return predict(tubes, [1.0, laid.let_down_white_parts], box.surface)


def _white(recipe: Recipe, box: Box) -> Tube:
    """Return the white that let-downs were made in: where the box's is held out, the next."""
    used = [box.tube(portion.tube) for portion in recipe.portions]
    whites = [tube for tube in used if tube.is_white]
    return box.white if box.white in whites or not whites else whites[0]
