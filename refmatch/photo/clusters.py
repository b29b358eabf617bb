"""Sorting colours into a few kinds, the same way every time.

Plain k-means depends on where it starts and on the machine's arithmetic. Here the
solution for k kinds grows from that for k - 1 by the one new centre that helps most,
so there is no chance in it, and all counts come out of one run. Sums are formed
without matrix products, whose rounding changes with the number of threads.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from refmatch.colorimetry.spectrum import Array

Labels = npt.NDArray[np.intp]

CANDIDATES = 64
"""How many colours, worst served first, are tried as the next centre."""

MOST_STEPS = 60


@dataclass(frozen=True, eq=False)
class Clustering:
    """``centres`` (k, 3), ``labels`` (n,) and the weighted sum of squared distances."""

    centres: Array
    labels: Labels
    inertia: float


def growing_k_means(points: Array, weights: Array, most: int) -> Iterator[Clustering]:
    """Yield the k-means solution for 1, 2, ... ``most`` centres.

    Points (n, 3), weights (n,) above 0. Fewer are yielded where there are fewer
    different points. Source: fast global k-means, Likas, Vlassis & Verbeek 2003,
    Pattern Recognition 36, 451-461, doi:10.1016/S0031-3203(02)00060-2, section 3,
    with the candidates limited to the colours served worst.
    """
    centres = np.average(points, axis=0, weights=weights)[None, :]
    found = lloyd(points, weights, centres)
    yield found
    while len(found.centres) < most and found.inertia > 1e-9:
        nearest = squared_distances(found.centres, points).min(axis=0)
        new = _most_helpful(points, weights, nearest)
        found = lloyd(points, weights, np.vstack([found.centres, new]))
        yield found


def lloyd(points: Array, weights: Array, centres: Array) -> Clustering:
    """Move centres to the means of what is nearest to them until nothing changes."""
    labels = np.full(len(points), -1, dtype=np.intp)
    for _ in range(MOST_STEPS):
        moved = squared_distances(centres, points).argmin(axis=0)
        if np.array_equal(moved, labels):
            break
        labels = moved
        centres = means_by_label(points, weights, labels, centres)
    distances = squared_distances(centres, points)
    inertia = float(np.sum(weights * distances.min(axis=0)))
    return Clustering(centres, distances.argmin(axis=0), inertia)


def means_by_label(points: Array, weights: Array, labels: Labels, otherwise: Array) -> Array:
    """Return the weighted mean of each label's points, (k, 3), ``otherwise`` where it has none."""
    count = len(otherwise)
    total = np.bincount(labels, weights, count)
    sums = [np.bincount(labels, weights * points[:, i], count) for i in range(points.shape[1])]
    means = np.stack(sums, axis=1) / np.maximum(total, 1e-300)[:, None]
    return np.where(total[:, None] > 0.0, means, otherwise)


def squared_distances(centres: Array, points: Array) -> Array:
    """Return the squared distance from each centre to each point, shape (k, n)."""
    away = centres[:, None, 0] - np.ascontiguousarray(points[:, 0])
    total = np.square(away)
    for i in range(1, points.shape[1]):
        np.subtract(centres[:, None, i], np.ascontiguousarray(points[:, i]), out=away)
        total += np.square(away, out=away)
    return np.asarray(total)


def _most_helpful(points: Array, weights: Array, nearest: Array) -> Array:
    """Return the point that, made a centre, would lower the inertia most; equation (5)."""
    worst = np.argsort(-weights * nearest, kind="stable")[:CANDIDATES]
    gain = np.maximum(nearest - squared_distances(points[worst], points), 0.0)
    help_by = np.sum(gain * weights, axis=1)
    return np.asarray(points[worst[int(np.argmax(help_by))]])
