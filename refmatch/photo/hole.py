"""A hole in the card, and the light of the pixels under it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.errors import HoleError
from refmatch.photo.circle import covered_pixels, span
from refmatch.photo.photo import Photo

MOST_PIXELS = 250_000
"""A wider hole is averaged over small squares first, a few rows at a time."""


@dataclass(frozen=True, slots=True)
class Hole:
    """A round hole in the card: centre and diameter in the cropped photo's pixels."""

    x_px: float
    y_px: float
    diameter_px: float
    label: str


@dataclass(frozen=True, eq=False)
class Pixels:
    """What lies under a hole: XYZ (n, 3), clipped share (n,), area covered (n,) in pixels."""

    xyz: Array
    clipped: Array
    weights: Array


def pixels_under(photo: Photo, hole: Hole) -> Pixels:
    """Return the unbalanced linear light under a hole, each pixel with its coverage.

    Under a very wide hole these are squares of pixels, averaged by coverage,
    so that neither the mean nor the area changes.

    Raises:
        HoleError: no part of the hole lies on the photo, or it has no width.
    """
    radius = hole.diameter_px / 2.0
    if not radius > 0.0:
        raise HoleError("hole_without_width", hole=hole.label)
    rows = span(hole.y_px, radius, photo.height_px)
    columns = span(hole.x_px, radius, photo.width_px)
    width = columns.stop - columns.start
    side = max(1, math.ceil(math.sqrt((rows.stop - rows.start) * width / MOST_PIXELS)))
    step = side * max(1, MOST_PIXELS // max(1, side * width))
    tops = range(rows.start, rows.stop, step) if width else ()
    strips = [
        _strip(photo, hole, slice(top, min(top + step, rows.stop)), columns, side) for top in tops
    ]
    summed = np.concatenate(strips) if strips else np.empty((0, 5))
    if not len(summed):
        raise HoleError(
            "hole_outside_photo",
            hole=hole.label,
            x_px=hole.x_px,
            y_px=hole.y_px,
            width_px=photo.width_px,
            height_px=photo.height_px,
        )
    weights = summed[:, 4]
    return Pixels(summed[:, :3] / weights[:, None], summed[:, 3] / weights, weights)


def _strip(photo: Photo, hole: Hole, rows: slice, columns: slice, side: int) -> Array:
    """Sum XYZ, clipped and coverage over the squares of some rows, (n, 5), empty ones left out."""
    window = rows.start, columns.start, rows.stop - rows.start, columns.stop - columns.start
    covered = covered_pixels(rows, columns, hole.x_px, hole.y_px, hole.diameter_px / 2.0)
    values = np.empty((*covered.shape, 5))
    values[..., :3] = photo.linear(*window) * covered[..., None]
    values[..., 3] = photo.clipped(*window) * covered
    values[..., 4] = covered
    if side > 1:
        values = np.add.reduceat(values, np.arange(0, window[2], side), axis=0)
        values = np.add.reduceat(values, np.arange(0, window[3], side), axis=1)
    return values[values[..., 4] > 0.0]
