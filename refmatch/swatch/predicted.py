"""What colour piles should be by their recipes: the box's doubt and the hand's, for all at once.

Two piles that share a tube share that tube's error; so what a photo says of one tells of the
other, and of the tube.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.spectrum import BANDS, Array
from refmatch.paint.box import Box, Tube
from refmatch.paint.characterise.belief import belief_of
from refmatch.recipe.doubt import is_generic, of_the_model
from refmatch.recipe.mixture import Palette

HAND = 0.05
"""Relative standard error of each part in a pile, as in the dabs of a calibration."""

MOST_MODES = 8

GENERIC_SHARE = 0.55
"""How much of a belief counts where nothing was measured. A belief is wide, so that a fit is led by
what is seen; the mixes of other painters' tubes are off by about half of it (virtual studio, and
the 3 dE00, sometimes 9, of built-in curves against real acrylics)."""


@dataclass(frozen=True, eq=False)
class Predicted:
    """The piles' ``lab`` (n, 3), ``reflectance`` (n, 31) and joint ``covariance`` (3n, 3n).

    ``modes`` (tubes, m, 62) are the ways in which each tube's curves may be off, each by one
    standard error, and ``by_modes`` (tubes, 3n, m) what each of them does to the piles.
    """

    lab: Array
    reflectance: Array
    covariance: Array
    modes: Array
    by_modes: Array


def predict_piles(
    box: Box, parts: Array, hand: float = HAND, generic_share: float = GENERIC_SHARE
) -> Predicted:
    """Return what piles of ``parts`` (n, tubes) of a box should look like.

    ``generic_share`` is how much counts of what is believed of tubes that nobody measured.
    """
    palette = Palette.of(box.tubes, box.surface)
    lab = palette.lab(parts)
    modes = np.stack([_modes(tube, generic_share) for tube in box.tubes])
    curves = np.stack([palette.lab_by_curves(row) for row in parts])  # (n, tubes, 3, 62)
    by_modes = np.einsum("ntcb,tmb->tncm", curves, modes).reshape(len(box.tubes), lab.size, -1)
    covariance = np.einsum("tim,tjm->ij", by_modes, by_modes)
    for pile, row in enumerate(parts):
        rows = slice(3 * pile, 3 * pile + 3)
        by_hand = palette.lab_and_slopes(row)[1] * row * hand
        covariance[rows, rows] += by_hand @ by_hand.T
        covariance[rows, rows] += of_the_model(palette, box.tubes, row, lab[pile])
    return Predicted(lab, palette.reflectance(parts), covariance, modes, by_modes)


def _modes(tube: Tube, generic_share: float) -> Array:
    """Return a tube's ways of being off, (8, 62); of a generic one those of its pigment."""
    ways = generic_share * belief_of(tube).factor.T if is_generic(tube) else tube.modes
    _, size, axes = np.linalg.svd(ways, full_matrices=False)
    found = np.zeros((MOST_MODES, 2 * BANDS))
    kept = min(len(size), MOST_MODES)
    found[:kept] = size[:kept, None] * axes[:kept]
    return found
