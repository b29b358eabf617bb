"""Who lies beside whom: each four-sided spot's own sides tell where its neighbours must be."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from refmatch.card.chart.quads import Quads
from refmatch.colorimetry.spectrum import Array
from refmatch.photo.photo import Bools

Numbers = npt.NDArray[np.intp]

NEAREST, FURTHEST, ASIDE = 1.0, 1.6, 0.3
"""Where a neighbour may be, in sides of the patch: gaps are up to half a patch wide."""

AS_LARGE = 2.2
"""How many times as large a neighbour may be: a tilted chart's patches shrink away from one."""

FEWEST = 6
"""Spots that are wanted before a lattice is believed."""


def neighbours(quads: Quads) -> tuple[Bools, Bools]:
    """Say who lies beside whom, (n, n), along the one and along the other axis of the first."""
    u, v = along_own_axes(quads)
    areas = quads.areas
    alike = np.maximum(areas[:, None], areas[None]) < AS_LARGE * np.minimum(
        areas[:, None], areas[None]
    )
    beside = _beside(u, v) & alike
    below = _beside(v, u) & alike
    mutual = (beside | below) & (beside | below).T
    return beside & mutual, below & mutual


def along_own_axes(quads: Quads) -> tuple[Array, Array]:
    """Return where each spot (second index) lies by the axes of each (first), (n, n)."""
    one, other = _axes(quads)
    away = quads.middles[None] - quads.middles[:, None]
    twist = (one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0])[:, None]
    u = (away[..., 0] * other[:, None, 1] - away[..., 1] * other[:, None, 0]) / twist
    v = (away[..., 1] * one[:, None, 0] - away[..., 0] * one[:, None, 1]) / twist
    return u, v


def _beside(along: Array, aside: Array) -> Bools:
    reach = np.abs(along)
    return np.asarray((reach > NEAREST) & (reach < FURTHEST) & (np.abs(aside) < ASIDE))


def _axes(quads: Quads) -> tuple[Array, Array]:
    """Return the mean of each spot's two pairs of sides, (n, 2) each."""
    a, b, c, d = np.moveaxis(quads.corners, 1, 0)
    return (b - a + c - d) / 2.0, (d - a + c - b) / 2.0


def groups(quads: Quads) -> list[Numbers]:
    """Return the members of each connected group, the largest first."""
    right, down = neighbours(quads)
    linked = np.asarray(right | right.T | down | down.T)
    left: Bools = np.ones(len(linked), bool)
    found: list[Numbers] = []
    for start in range(len(linked)):
        if not left[start]:
            continue
        group: Bools = np.zeros(len(linked), bool)
        fresh: Bools = np.arange(len(linked)) == start
        while fresh.any():
            group |= fresh
            fresh = np.asarray(linked[fresh].any(axis=0) & ~group)
        left &= ~group
        if group.sum() >= FEWEST:
            found.append(np.flatnonzero(group))
    return sorted(found, key=len, reverse=True)
