"""Recipes beside each other: what a lamp does between neighbours, and between alternatives."""

from __future__ import annotations

import functools
from collections.abc import Sequence
from dataclasses import replace

from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.words import neighbours
from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.recipe.lamps import LampChange, under_lamps
from refmatch.recipe.mixture import reflectance
from refmatch.recipe.model import Answer, Recipe
from refmatch.recipe.solve import Options, lay_out, solve_all
from refmatch.target import Target, places_px

UNDER_LAMP = "under_lamp"

Beside = tuple[tuple[str | None, Recipe], ...]
"""What a recipe is held against: a neighbour by its label, None for its own first choice."""


def side_by_side(
    answers: Sequence[Answer], box: Box, points: Array | None = None
) -> tuple[Answer, ...]:
    """Return the answers with what lamps do to their recipes, as flags.

    A first choice is compared with the first choices of its neighbours, an
    alternative with the first choice of its own target. ``points`` (n, 2) are
    the targets' places in the photo, where they have one.
    """
    first = [answer.recipes[0] for answer in answers]
    beside: dict[int, list[tuple[str | None, Recipe]]] = {
        index: [] for index in range(len(answers))
    }
    for one, other in neighbours(len(answers), points):
        beside[one].append((answers[other].label, first[other]))
        beside[other].append((answers[one].label, first[one]))
    return tuple(
        replace(answer, recipes=_flagged(answer.recipes, tuple(beside[index]), box))
        for index, answer in enumerate(answers)
    )


def mixed(
    targets: Sequence[Target], box: Box, options: Options | None = None
) -> tuple[Answer, ...]:
    """Return recipes for every target from one box, beside each other.

    Raises:
        BoxError: the box is empty or has no white. UnknownTube: a habit names none of its tubes.
    """
    return side_by_side(solve_all(lay_out(box, options), targets), box, places_px(targets))


def without_lamps(answer: Answer) -> Answer:
    """Undo what `side_by_side` added: it hangs on the neighbours, which may change."""
    recipes = tuple(
        replace(recipe, flags=tuple(flag for flag in recipe.flags if flag.name != UNDER_LAMP))
        for recipe in answer.recipes
    )
    return replace(answer, recipes=recipes)


@functools.lru_cache(1024)
def spectrum(recipe: Recipe, box: Box) -> Array:
    """Return the reflectance of a recipe as the eye sees it, (31,)."""
    tubes = [box.tube(portion.tube) for portion in recipe.portions]
    return reflectance(tubes, [portion.parts for portion in recipe.portions], box.surface)


def _flagged(recipes: Sequence[Recipe], beside: Beside, box: Box) -> tuple[Recipe, ...]:
    changed = [_changes(recipes[0], beside, box)]
    changed += [_changes(recipe, ((None, recipes[0]),), box) for recipe in recipes[1:]]
    return tuple(
        replace(recipe, flags=(*recipe.flags, *(_flag(change) for change in changes)))
        if changes
        else recipe
        for recipe, changes in zip(recipes, changed, strict=True)
    )


def _flag(change: LampChange) -> Flag:
    return Flag(UNDER_LAMP, lamp=change.lamp, turns=change.turns, other=change.other)


@functools.lru_cache(1024)
def _changes(recipe: Recipe, beside: Beside, box: Box) -> tuple[LampChange, ...]:
    """Return what lamps do to a recipe beside others; on the page most stay as they were."""
    others = {label: spectrum(other, box) for label, other in beside}
    return under_lamps(spectrum(recipe, box), others)
