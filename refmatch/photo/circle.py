"""How much of each pixel a circle covers, exactly."""

from __future__ import annotations

import math

import numpy as np

from refmatch.colorimetry.spectrum import Array


def coverage(x_edges: Array, y_edges: Array) -> Array:
    """Return the area that the unit disc has in each cell of a grid.

    Args:
        x_edges: columns' edges, shape (columns + 1,), in radii from the centre.
        y_edges: rows' edges, shape (rows + 1,), likewise.

    Returns:
        areas, shape (rows, columns), in squared radii; a grid around the
        whole disc sums to pi. Each is the mixed difference of `_area_below`
        at its four corners, so that no shape of overlap is a special case.
    """
    below = _area_below(np.asarray(x_edges)[None, :], np.asarray(y_edges)[:, None])
    return np.maximum(np.diff(np.diff(below, axis=0), axis=1), 0.0)


def covered_pixels(rows: slice, columns: slice, x: float, y: float, radius: float) -> Array:
    """Return the area a circle has in each pixel of a window, 0 to 1, (rows, columns)."""
    x_edges = (np.arange(columns.start, columns.stop + 1) - x) / radius
    y_edges = (np.arange(rows.start, rows.stop + 1) - y) / radius
    return coverage(x_edges, y_edges) * radius**2


def span(centre: float, radius: float, size: int) -> slice:
    """Return the pixels from 0 to ``size`` that a circle may touch along one axis."""
    start = min(max(math.floor(centre - radius), 0), size)
    return slice(start, max(start, min(math.ceil(centre + radius), size)))


def _area_below(x: Array, y: Array) -> Array:
    """Return the area of the part of the unit disc left of ``x`` and above ``y``."""
    x, y = np.clip(x, -1.0, 1.0), np.clip(y, -1.0, 1.0)
    half_chord = np.sqrt(1.0 - y**2)
    within = np.clip(x, -half_chord, half_chord)
    cap = (
        _half_disc(within)
        - _half_disc(-half_chord)
        - np.abs(y) * (within + half_chord)  # the cap beyond the chord at |y|, left of x
    )
    return np.where(y < 0.0, cap, 2.0 * _half_disc(x) - cap)


def _half_disc(x: Array) -> Array:
    """Integrate sqrt(1 - u^2) from -1 to ``x``."""
    area: Array = 0.5 * (x * np.sqrt(1.0 - x**2) + np.arcsin(x) + np.pi / 2.0)
    return area
