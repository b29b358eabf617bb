"""Which dabs to paint next: for the colours of a painting, or for some that are named."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.errors import UsageError
from refmatch.paint.box import Box
from refmatch.paint.box_file import box_from_toml, open_box
from refmatch.recipe.advice import Dab, advise
from refmatch.recipe.model import Recipe
from refmatch.recipe.together import mixed
from refmatch.target import targets_of


def advise_box(
    colours: Sequence[str], box: Path | None, painting: Path | None, count: int
) -> tuple[Dab, ...]:
    """Return the dabs that would most reduce the doubt of the mixes wanted, best first.

    Raises:
        UsageError: neither colours nor a painting are given. TargetError, BoxError,
            PaintingError: one of them cannot be read.
    """
    if not colours and painting is None:
        raise UsageError("advice_for_no_mix")
    if painting is None:
        owned = open_box(box)
        recipes = [answer.recipes[0] for answer in mixed(targets_of(colours), owned)]
    else:
        owned, recipes = _of_painting(painting, box)
    return advise(owned, [_parts(recipe, owned) for recipe in recipes], count)


def _of_painting(folder: Path, box: Path | None) -> tuple[Box, list[Recipe]]:
    from refmatch.painting.store import open_folder  # photos are slow to load

    painting = open_folder(folder).painting
    owned = open_box(box) if box else box_from_toml(painting.box, "the painting's box")
    if not painting.recipes:
        raise UsageError("painting_without_mixes", folder=str(folder))
    recipes = [
        answer.recipes[choice]
        for answer, choice in zip(painting.recipes, painting.chosen, strict=True)
    ]
    return owned, recipes


def _parts(recipe: Recipe, box: Box) -> Array:
    """Return a recipe as parts of the box's tubes, (tubes,)."""
    names = [tube.name for tube in box.tubes]
    parts = np.zeros(len(names))
    for portion in recipe.portions:
        parts[names.index(box.tube(portion.tube).name)] += portion.parts
    return parts
