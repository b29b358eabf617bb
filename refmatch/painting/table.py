"""The tubes as they lie on the painter's table, seen from the sheet."""

from __future__ import annotations

import functools

from refmatch.errors import BoxError
from refmatch.paint.box import Box, Tube
from refmatch.paint.library import pigments
from refmatch.painting.model import TubeOnTable
from refmatch.recipe.mixture import predict

TINT_WHITE_PARTS = 9.0
"""White to one part of tube in the tint that shows a dark tube's hue."""


@functools.lru_cache(16)
def tubes_on_table(box: Box) -> tuple[TubeOnTable, ...]:
    """Return each tube's masstone, its tint in the box's white, and its pigments' cautions.

    In a box without a white the tint is the masstone.
    """
    try:
        white = box.white
    except BoxError:
        white = None
    return tuple(_on_table(tube, white, box) for tube in box.tubes)


def _on_table(tube: Tube, white: Tube | None, box: Box) -> TubeOnTable:
    masstone = predict([tube], [1.0], box.surface)
    return TubeOnTable(
        name=tube.name,
        pigments=tube.pigments,
        is_white=tube.is_white,
        masstone=masstone,
        tint=predict([tube, white], [1.0, TINT_WHITE_PARTS], box.surface) if white else masstone,
        cautions=_cautions(tube),
    )


def _cautions(tube: Tube) -> tuple[str, ...]:
    known = (pigments().get(key) for key in tube.keys)
    found = [caution for pigment in known if pigment for caution in pigment.cautions]
    return tuple(dict.fromkeys(found))
