"""One colour out of many pixels: medians, specks left out, two colours told apart."""

from __future__ import annotations

import numpy as np

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.photo.photo import Bools

SPECK_DISTANCE = 3.0
"""How many median distances away a pixel must be to count as a speck.

For Gaussian noise, alike in three dimensions, that is 4.6 standard deviations:
one pixel in 11 000.
"""

LEAST_SPECK_DISTANCE = 3.0
"""A pixel nearer than this in Lab is never a speck, however even the rest."""

TWO_COLOURS_SHARE = 0.15
MOST_SPECKS = TWO_COLOURS_SHARE
"""More than this is no speck but a second colour, and everything is kept."""

TWO_COLOURS_DELTA_E_00 = 6.0
TWO_COLOURS_EXPLAINED = 0.85
"""Two colours explain more of the variance than an even ramp cut in two (0.75)."""


def weighted_median(values: Array, weights: Array) -> Array:
    """Return the weighted median of each column; (n,) gives (), (n, k) gives (k,)."""
    columns = values[:, None] if values.ndim == 1 else values
    order = np.argsort(columns, axis=0)
    summed = np.cumsum(np.asarray(weights)[order], axis=0)
    middle = np.argmax(summed >= summed[-1] / 2.0, axis=0)
    places = order[middle, np.arange(columns.shape[1])]
    medians = columns[places, np.arange(columns.shape[1])]
    return medians[0] if values.ndim == 1 else medians


def keep_all_but_specks(lab: Array, weights: Array) -> Bools:
    """Tell the pixels to average from a few specks, hairs or glints among them.

    A speck lies further in Lab from the weighted median colour than
    `SPECK_DISTANCE` times the median such distance. Where more than
    `MOST_SPECKS` of the hole would go, nothing is left out.

    Args:
        lab: (n, 3).
        weights: coverage, (n,).

    Returns:
        Which pixels to keep, (n,).
    """
    distance = np.linalg.norm(lab - weighted_median(lab, weights), axis=1)
    limit = max(SPECK_DISTANCE * float(weighted_median(distance, weights)), LEAST_SPECK_DISTANCE)
    keep: Bools = distance <= limit
    dropped = weights[~keep].sum() / weights.sum()
    return keep if dropped <= MOST_SPECKS else np.ones_like(keep)


def two_colours(lab: Array, weights: Array) -> bool:
    """Say whether two distinct colours share the pixels.

    The pixels are cut in two along their main direction in Lab where the two
    parts' variance between is largest (Otsu 1979, doi:10.1109/TSMC.1979.4310076);
    they are two colours if both parts are sizeable, far apart, and each close.
    """
    mean = np.average(lab, axis=0, weights=weights)
    away = lab - mean
    covariance = (away * weights[:, None]).T @ away / weights.sum()
    variances, directions = np.linalg.eigh(covariance)
    if variances[-1] <= 1e-9:
        return False
    along = away @ directions[:, -1]
    order = np.argsort(along)
    share = np.cumsum(weights[order])[:-1] / weights.sum()
    moment = np.cumsum((weights * along)[order])[:-1] / weights.sum()
    between = moment**2 / np.maximum(share * (1.0 - share), 1e-12)
    cut = int(np.argmax(between))
    if not TWO_COLOURS_SHARE <= share[cut] <= 1.0 - TWO_COLOURS_SHARE:
        return False
    low, high = order[: cut + 1], order[cut + 1 :]
    apart = delta_e_00(
        np.average(lab[low], axis=0, weights=weights[low]),
        np.average(lab[high], axis=0, weights=weights[high]),
    )
    explained = between[cut] / variances[-1]
    return bool(explained >= TWO_COLOURS_EXPLAINED and apart >= TWO_COLOURS_DELTA_E_00)
