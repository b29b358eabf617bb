"""Colours and recipes as slips of the page show them: what they are, what a screen can show."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

import numpy as np

from refmatch.colorimetry.display import css_p3, css_srgb, screens
from refmatch.colorimetry.spectrum import Array
from refmatch.encode import Json, encode, envelope
from refmatch.flag import Flag
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
from refmatch.web.remedies import REMEDIES


def page(content: Json, flags: Iterable[Flag] = ()) -> Json:
    """Return all that one answer says to the page; every bare Lab in it becomes a colour."""
    shown: Json = filled(envelope(content, flags, REMEDIES, bare=True))
    return shown


def part(content: object) -> Json:
    """Return a smaller answer, which states no more than it says."""
    shown: Json = filled(encode(content, REMEDIES, bare=True))
    return shown


def colour(lab: Array) -> Json:
    """Return one colour, (3,) Lab of D50: ``lab``, ``srgb``, ``p3`` and ``fits``."""
    return colours([lab])[0]


def filled(content: Any) -> Any:
    """Return JSON-ready content with every bare Lab array in it, (3,), shown as a colour.

    All of them are worked out in one go: a painting's page has hundreds.
    """
    labs: list[Array] = []
    _gather(content, labs)
    shown = iter(colours(labs))
    return _put(content, shown)


def _gather(content: Any, labs: list[Array]) -> None:
    if isinstance(content, np.ndarray):
        labs.append(content)
    for item in content.values() if isinstance(content, dict) else _listed(content):
        _gather(item, labs)


def _put(content: Any, shown: Iterator[Json]) -> Any:
    if isinstance(content, np.ndarray):
        return next(shown)
    if isinstance(content, dict):
        return {key: _put(item, shown) for key, item in content.items()}
    return [_put(item, shown) for item in content] if isinstance(content, list) else content


def _listed(content: Any) -> list[Any]:
    return content if isinstance(content, list) else []


def colours(labs: Iterable[Array]) -> list[Json]:
    """Return many colours at once, (n, 3): far quicker than one by one.

    ``srgb`` and ``p3`` are CSS; where a screen cannot show the colour they keep its
    lightness and hue, and ``fits`` ("srgb", "p3" or "none") says so.
    """
    stacked = np.array([np.asarray(lab, dtype=float) for lab in labs]).reshape(-1, 3)
    return [
        {"lab": encode(lab), "srgb": srgb, "p3": p3, "fits": fits}
        for lab, srgb, p3, fits in zip(
            stacked, css_srgb(stacked), css_p3(stacked), screens(stacked), strict=True
        )
    ]


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
    `page` makes colours of bare Lab.

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
