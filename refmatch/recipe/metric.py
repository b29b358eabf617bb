"""Near one colour, a colour difference is a length: its metric, as a 3 x 3 matrix."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array

Distance = Callable[[Array, Array], Array]
"""A distance of colours (n, 3) from a target (3,), shape (n,)."""

STEP = 1.0
"""How far from the target the distance is felt out, in Lab units."""


def metric(target_lab: Array, distance: Distance = delta_e_00) -> Array:
    """Return the matrix G, (3, 3), with distance^2 about d' G d for small d in Lab.

    The distance is felt out on both sides of the target along the axes and
    their diagonals, and G is kept positive definite.
    """
    axes = STEP * np.eye(3)
    pairs = [(i, j) for i in range(3) for j in range(i, 3)]
    probes = np.array([axes[i] + (axes[j] if i != j else 0.0) for i, j in pairs])
    both = np.concatenate([target_lab + probes, target_lab - probes])
    squared = distance(both, target_lab).reshape(2, -1) ** 2
    along = dict(zip(pairs, squared.mean(axis=0) / STEP**2, strict=True))
    g = np.empty((3, 3))
    for (i, j), value in along.items():
        g[i, j] = g[j, i] = value if i == j else (value - along[i, i] - along[j, j]) / 2.0
    values, vectors = np.linalg.eigh(g)
    return (vectors * np.maximum(values, 1e-4)) @ vectors.T


def root(g: Array) -> Array:
    """Return the symmetric square root M of a metric, so that distance is about |M d|."""
    values, vectors = np.linalg.eigh(g)
    return (vectors * np.sqrt(values)) @ vectors.T
