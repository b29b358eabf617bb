"""The punched-hole mask: one colour of the photo, alone, measured.

The old remedy for an eye fooled by its surroundings is a card with a hole.
A hole here covers pixels by fractions, is averaged as light and not as codes,
and says how far its one colour can be trusted.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.lab import delta_e_00, xyz_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import PHOTO_WHITE
from refmatch.flag import Flag
from refmatch.photo.hole import Hole, pixels_under
from refmatch.photo.light import Balance
from refmatch.photo.photo import Photo
from refmatch.photo.robust import keep_all_but_specks, two_colours, weighted_median

__all__ = ["Hole", "Sample", "sample"]

FEWEST_PIXELS = 25.0
UNEVEN_DELTA_E_00 = 4.0
CLIPPED_SHARE = 0.02
SPECKS_DELTA_E_00 = 1.0
"""Where the flags begin; our own choice. 4 dE00 is where two dabs are plainly two, 1 where
a difference is just seen: specks that move the colour less are left out without a word."""


@dataclass(frozen=True, eq=False)
class Sample:
    """The colour seen through one hole.

    ``lab`` (3,) under the ICC D50 white, of the mean light of the pixels kept;
    ``covariance`` (3, 3) that of their Lab about it: the texture within the
    hole, more than chance does to the mean; errors of camera and balance are not in
    it. ``spread_delta_e_00`` is their median distance from the mean.
    ``clipped_fraction`` is of the whole hole, ``excluded_fraction`` the part left out
    as specks or glare, and
    ``pixels`` the sum of coverage, the hole's area within the photo.
    """

    label: str
    x_px: float
    y_px: float
    diameter_px: float
    lab: Array
    covariance: Array
    spread_delta_e_00: float
    clipped_fraction: float
    excluded_fraction: float
    pixels: float
    flags: tuple[Flag, ...] = ()


def sample(photo: Photo, balance: Balance, hole: Hole) -> Sample:
    """Measure the colour within a hole, at the photo's full resolution.

    Specks and glare, where they are few, are left out; see
    `robust.keep_all_but_specks`.

    Raises:
        HoleError: no part of the hole lies on the photo, or it has no width.
    """
    under = pixels_under(photo, hole)
    weights = under.weights
    xyz = under.xyz @ balance.matrix.T
    lab = xyz_to_lab(xyz, PHOTO_WHITE)
    keep = keep_all_but_specks(lab, weights)
    kept = np.where(keep, weights, 0.0)
    mean = xyz_to_lab(np.average(xyz, axis=0, weights=kept), PHOTO_WHITE)
    whole = xyz_to_lab(np.average(xyz, axis=0, weights=weights), PHOTO_WHITE)
    excluded_fraction = float(1.0 - kept.sum() / weights.sum())
    away = lab - mean
    spread = float(weighted_median(delta_e_00(lab, mean), kept))
    clipped_fraction = float(np.average(under.clipped, weights=weights))
    return Sample(
        label=hole.label,
        x_px=hole.x_px,
        y_px=hole.y_px,
        diameter_px=hole.diameter_px,
        lab=mean,
        covariance=(away * kept[:, None]).T @ away / kept.sum(),
        spread_delta_e_00=spread,
        clipped_fraction=clipped_fraction,
        excluded_fraction=excluded_fraction,
        pixels=float(weights.sum()),
        flags=_flags(hole, lab, weights, spread, clipped_fraction)
        + _speck_flags(float(delta_e_00(mean, whole)), excluded_fraction),
    )


def _flags(
    hole: Hole, lab: Array, weights: Array, spread: float, clipped: float
) -> tuple[Flag, ...]:
    area = math.pi * (hole.diameter_px / 2.0) ** 2
    pixels = float(weights.sum())
    raised = {
        Flag("partly_outside"): pixels < area * (1.0 - 1e-6),
        Flag("too_few_pixels", pixels=pixels): pixels < FEWEST_PIXELS,
        Flag("clipped", of="hole", share=clipped): clipped >= CLIPPED_SHARE,
        Flag("two_colours"): two_colours(lab, weights),
        Flag("uneven"): spread > UNEVEN_DELTA_E_00,
    }
    return tuple(flag for flag, is_so in raised.items() if is_so)


def _speck_flags(moved: float, excluded: float) -> tuple[Flag, ...]:
    """Say that specks were left out, where with them the colour would look another."""
    if moved < SPECKS_DELTA_E_00:
        return ()
    return (Flag("specks_left_out", share=excluded),)
