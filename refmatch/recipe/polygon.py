"""The outline of a cloud of colours in the plane of a* and b*, drawn through its own points."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from refmatch.colorimetry.spectrum import Array

SECTORS = 180
"""Sectors of the hue circle, each with one corner of the outline: 2 degrees."""

NEARLY = 0.93
"""Of a sector's farthest distance, from which a point may turn out to be the farthest."""


DENT = 8
"""Sectors across which a dent is a gap between the mixes looked at, not in what can be mixed."""


def boundary(plane: Array) -> Array:
    """Return the corners, (n, 2), of the polygon around points, (m, 2): the farthest a sector.

    Seen from grey, if the points lie all around it; else, as where a box holds only
    warm tubes, from their own middle. So hardly anything unmixed is enclosed, and the
    polygon never leaves the points' convex hull. Corners are in the order of their turn.
    """
    found, sector = _far(plane, 1.0)
    _, first = np.unique(sector, return_index=True)
    corners = plane[found[first]].astype(float)
    centre = _middle(plane, _seen(plane)[0])
    away = corners - centre
    order = np.argsort(np.arctan2(away[:, 1], away[:, 0]), kind="stable")
    return _without_dents(away[order]) + centre


def far_out(plane: Array) -> npt.NDArray[np.intp]:
    """Return the points, as indices, that may be corners: nearly the farthest of a sector."""
    return _far(plane, NEARLY)[0]


def _far(plane: Array, share: float) -> tuple[npt.NDArray[np.intp], npt.NDArray[np.intp]]:
    """Return the points that reach a share of the farthest of their sector, and the sectors."""
    sector, reach = _seen(plane)
    centre = _middle(plane, sector)
    if centre.any():
        sector, reach = _seen(plane - centre)
    farthest = np.zeros(SECTORS, reach.dtype)
    np.maximum.at(farthest, sector, reach)
    found = np.flatnonzero(reach >= share * farthest[sector])
    return found, sector[found]


def _middle(plane: Array, sector: npt.NDArray[np.intp]) -> Array:
    """Return where an outline is seen from, (2,): grey, if the points lie all around it."""
    seen = np.flatnonzero(np.bincount(sector, minlength=SECTORS))
    if len(seen) == 0 or np.diff(seen, append=seen[0] + SECTORS).max() < SECTORS / 2:
        return np.zeros(2)
    return plane.mean(axis=0)


def _seen(away: Array) -> tuple[npt.NDArray[np.intp], Array]:
    """Return each point's sector about the origin, (n,), and its distance, (n,)."""
    turn = np.arctan2(away[:, 1], away[:, 0]) * (SECTORS / (2.0 * np.pi))
    return np.floor(turn).astype(np.intp) % SECTORS, np.hypot(away[:, 0], away[:, 1])


def _without_dents(away: Array) -> Array:
    """Drop corners that lie behind a chord between corners at most `DENT` sectors apart."""
    nearby = np.sin(DENT * 2.0 * np.pi / SECTORS)
    for apart in (1, 2, 3):
        before, after = np.roll(away, apart, axis=0), np.roll(away, -apart, axis=0)
        turn = _cross(before, after)
        near = (turn > 0.0) & (turn < nearby * np.hypot(*before.T) * np.hypot(*after.T))
        behind = _cross(after - before, away - before) > 0.0
        away = away[~(behind & near)]
    return away


def _cross(one: Array, other: Array) -> Array:
    """Return the third component of the cross product, (n,): above 0 for a turn to the left."""
    return one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0]
