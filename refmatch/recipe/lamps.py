"""What a mix does in the evening: how its neighbours and it move apart under a lamp.

A colour of a photo has no spectrum, so nothing can be said of how the *target*
looks under a lamp. Of two mixes it can: both have spectra. Where they agree by
day (two recipes for one target) or stand in a known relation (two neighbouring
puddles), the change of that difference under the lamp is what a painter would see.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from refmatch.colorimetry.comparison import compare, neighbours
from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import viewing
from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.recipe.mixture import reflectance
from refmatch.recipe.model import Answer, Recipe

LAMPS: dict[str, str] = {"A": "a tungsten lamp", "LED-B3": "a white LED lamp"}
"""The lamps looked at (CIE 015:2018), as a painter calls them."""

SPOKEN_FROM = 1.5
"""The change in dE00 from which a lamp is worth a sentence: between what half of all
observers perceive (0.8) and accept (1.8; Paravina et al. 2015)."""

NEAR_BY_DAY = 10.0
"""The dE00 by day within which two neighbours are held against each other. Colours far
apart always move apart under a lamp, whatever they are mixed from; near ones need not."""


def pair_under_lamp(mix: Array, other: Array, lamp: str) -> tuple[Array, Array]:
    """Return Lab of both under a lamp, the second freed of their difference by day.

    Both (..., 31) reflectances as seen; Lab (..., 3). Each light counts by its own white,
    as an eye settled to it sees. What the pair differs by under D50 is taken off
    the second as a Lab vector, so that only the change is left: CIE 015:2018, 9.2, the
    special metamerism index for a change of illuminant, with additive correction.
    """
    by_day = reflectance_to_lab(other) - reflectance_to_lab(mix)
    under = viewing(lamp)
    return reflectance_to_lab(mix, under), reflectance_to_lab(other, under) - by_day


def lamp_change(mix: Array, other: Array, lamp: str) -> Array:
    """Return how far two colours move apart under a lamp, in dE00, 0 where they move alike."""
    return delta_e_00(*pair_under_lamp(mix, other, lamp))


def under_lamps(mix: Array, others: Mapping[str, Array]) -> tuple[str, ...]:
    """Return at most one sentence a lamp, on the other mix that moves farthest from this.

    Args:
        mix: its reflectance as the eye sees it, shape (31,).
        others: its neighbours or its alternatives, reflectance (31,) by label.

    Such as "Under a tungsten lamp it turns redder than 2."; none where no change
    reaches `SPOKEN_FROM`.
    """
    if not others:
        return ()
    labels, table = list(others), np.stack(list(others.values()))
    found = []
    for lamp, name in LAMPS.items():
        change = lamp_change(mix, table, lamp)
        farthest = int(change.argmax())
        words = compare(*pair_under_lamp(mix, table[farthest], lamp))
        if change[farthest] >= SPOKEN_FROM and words:
            found.append(f"Under {name} it turns {', '.join(words)} than {labels[farthest]}.")
    return tuple(found)


def with_lamps(
    answers: Sequence[Answer], box: Box, points: Array | None = None
) -> tuple[Answer, ...]:
    """Return the answers with a flag ``under_a_lamp`` on each recipe that parts from others.

    A first recipe is held against those of the neighbouring targets `NEAR_BY_DAY`, an
    alternative against the first of its own target. ``points``, (n, 2) in pixels, say
    where the targets lie; without them, the order of the answers rules.
    """
    firsts = [_seen(answer.recipes[0], box) for answer in answers]
    beside: list[dict[str, Array]] = [{} for _ in answers]
    for one, other in neighbours(len(answers), points):
        if delta_e_00(*reflectance_to_lab(np.stack([firsts[one], firsts[other]]))) <= NEAR_BY_DAY:
            beside[one][answers[other].label] = firsts[other]
            beside[other][answers[one].label] = firsts[one]
    return tuple(
        replace(
            answer,
            recipes=(
                _flagged(answer.recipes[0], box, near),
                *(_flagged(r, box, {"the first recipe": first}) for r in answer.recipes[1:]),
            ),
        )
        for answer, near, first in zip(answers, beside, firsts, strict=True)
    )


def _flagged(recipe: Recipe, box: Box, others: Mapping[str, Array]) -> Recipe:
    told = under_lamps(_seen(recipe, box), others)
    return replace(recipe, flags=recipe.flags + tuple(Flag("under_a_lamp", t) for t in told))


def _seen(recipe: Recipe, box: Box) -> Array:
    """Return the reflectance of a recipe as the eye sees it, (31,)."""
    tubes = [box.tube(portion.tube) for portion in recipe.portions]
    return reflectance(tubes, [portion.parts for portion in recipe.portions], box.surface)
