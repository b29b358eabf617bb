"""Where to punch the hole that shows a mass: well inside it, and of its very colour."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from refmatch.colorimetry.lab import delta_e_00, xyz_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import PHOTO_WHITE
from refmatch.photo.hole import Hole, coverage
from refmatch.photo.opencv import opencv
from refmatch.photo.place import DEFAULT_DIAMETER_PERCENT, LEAST_DIAMETER_PX

NARROWER, NARROWEST_PX = (1.0, 0.7, 0.5, 0.35), 6.0
"""Hole widths tried, as parts of the usual one, down to one that still holds 28 pixels."""

GOOD_ENOUGH = 2.0
"""A place this near the mass's colour (dE00) is taken at once, however wide the hole."""

OUTSIDE_COST = 10.0
"""What a hole centred on the mass's border would have to gain in dE00 to be worth it."""

DEEP_WORTH, UNEVEN_COST = 0.5, 0.2
"""What lying two diameters inside the mass is worth in dE00, and what a unit of CIELAB
in the standard deviation of the hole's colours costs: rules of thumb of our own."""

CANDIDATES = 200


def holes_for(
    xyz: Array, labels: npt.NDArray[np.int16], labs: Array, scale: float
) -> tuple[Hole, ...]:
    """Return a hole to punch for each mass.

    ``xyz`` (rows, columns, 3) is the balanced small picture, ``labels`` (rows,
    columns) tells the mass of each pixel, ``labs`` (k, 3) the masses' colours,
    ``scale`` small pixels per pixel of the photo.
    """
    usual = max(DEFAULT_DIAMETER_PERCENT / 100.0 * min(labels.shape) / scale, LEAST_DIAMETER_PX)
    widths = sorted({max(usual * part, NARROWEST_PX) for part in NARROWER}, reverse=True)
    inside = [_depth(labels == i) for i in range(len(labs))]
    light, colours = np.asarray(xyz, dtype=float), xyz_to_lab(xyz, PHOTO_WHITE)
    best: list[tuple[float, Hole]] = [(math.inf, Hole(0.0, 0.0, usual))] * len(labs)
    for width in widths:
        radius = width * scale / 2.0
        seen, uneven = _through_hole(light, colours, radius)
        for i, lab in enumerate(labs):
            if best[i][0] > GOOD_ENOUGH:
                extra = _cost_of_lying(inside[i] / radius) + UNEVEN_COST * uneven
                cost, row, column = _best_centre(seen, extra, inside[i] > 0.0, lab)
                if cost < best[i][0]:
                    best[i] = cost, Hole((column + 0.5) / scale, (row + 0.5) / scale, width)
    return tuple(hole for _, hole in best)


def _depth(mask: npt.NDArray[np.bool_]) -> Array:
    """Return how far inside the mask each pixel's centre lies, in pixels, 0 outside it.

    The picture's edge is a border like any other, so that no hole hangs over it.
    """
    cv2 = opencv()
    padded = np.pad(mask, 1).astype(np.uint8)
    depth = cv2.distanceTransform(padded, cv2.DIST_L2, cv2.DIST_MASK_PRECISE)[1:-1, 1:-1]
    return np.asarray(np.maximum(depth - 0.5, 0.0))


def _through_hole(xyz: Array, lab: Array, radius_px: float) -> tuple[Array, Array]:
    """Return what a hole centred on each pixel shows: its mean as Lab, and how uneven it is.

    Shapes (rows, columns, 3) and (rows, columns), the latter the standard deviation
    of CIELAB within the hole.
    """
    reach = max(math.ceil(radius_px - 0.5), 0)
    edges = (np.arange(-reach, reach + 2) - 0.5) / radius_px
    disc = coverage(edges, edges)
    disc /= disc.sum()
    filtered = opencv().filter2D
    mean_square = filtered(np.sum(lab**2, axis=2), -1, disc)
    variance = mean_square - np.sum(filtered(lab, -1, disc) ** 2, axis=2)
    seen = xyz_to_lab(filtered(xyz, -1, disc), PHOTO_WHITE)
    return seen, np.sqrt(np.maximum(variance, 0.0))


def _cost_of_lying(depth: Array) -> Array:
    """Return what it costs in dE00 to lie so many radii inside the mass."""
    outside = OUTSIDE_COST * np.maximum(1.0 - depth, 0.0)
    return np.asarray(outside - DEEP_WORTH * np.minimum(depth / 4.0, 1.0))


def _best_centre(
    seen: Array, extra: Array, mask: npt.NDArray[np.bool_], lab: Array
) -> tuple[float, int, int]:
    """Return (cost in dE00, row, column) of the best centre within the mask."""
    rows, columns = np.nonzero(mask)
    extra = extra[rows, columns]
    roughly = np.sqrt(np.sum((seen[rows, columns] - lab) ** 2, axis=1)) + extra
    likeliest = np.argsort(roughly, kind="stable")[:CANDIDATES]
    rows, columns, extra = rows[likeliest], columns[likeliest], extra[likeliest]
    cost = delta_e_00(seen[rows, columns], lab) + extra
    best = int(np.argmin(cost))
    return float(cost[best]), int(rows[best]), int(columns[best])
