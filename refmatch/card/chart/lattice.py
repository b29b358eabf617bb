"""Rows and columns: four-sided spots that lie as the patches of a chart do.

Each spot's own sides tell where its neighbours must be. Spots that agree on that are given whole
numbers, and one plane-to-plane map is laid through them all.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from refmatch.card.chart.neighbours import FEWEST, Numbers, along_own_axes, groups, neighbours
from refmatch.card.chart.quads import Quads
from refmatch.card.homography import project
from refmatch.colorimetry.spectrum import Array
from refmatch.photo.opencv import opencv

MOST_ACROSS = 8
"""Rows or columns beyond which a lattice is no chart's: tiles, a keyboard, windows of a house."""

ON_PLACE = 0.2
"""Of a step: how far from its place a spot may lie."""

ROUNDS = 3


@dataclass(frozen=True, eq=False)
class Lattice:
    """A plane-to-plane map from whole numbers (column, row) to the picture, and who lies on it.

    ``places`` (n, 2) are the spots' whole numbers; ``half`` is half a patch's side in steps,
    ``residual`` the root mean square, in steps, by which the spots' corners miss their places.
    """

    to_picture: Array
    places: Array
    half: float
    residual: float


def lattices(quads: Quads) -> Iterator[Lattice]:
    """Yield every lattice that enough spots lie on, those of most spots first."""
    for members in groups(quads):
        found = _lattice(quads, members)
        if found is not None:
            yield found


def _lattice(quads: Quads, members: Numbers) -> Lattice | None:
    """Number a group from its most central spot outward, and lay a map through it."""
    numbered = _numbered(Quads(quads.corners[members]))
    if numbered is None:
        return None
    corners, places, half = numbered
    for _ in range(ROUNDS):
        to_picture = _map(corners, places, half)
        if to_picture is None:
            return None
        corners, places, half = _on(quads, to_picture, places, half)
        spans = np.ptp(places, axis=0) if len(places) else np.zeros(2)
        if len(places) < FEWEST or spans.min() < 1 or spans.max() >= MOST_ACROSS:
            return None
    to_picture = _map(corners, places, half)
    if to_picture is None:
        return None
    miss = project(np.linalg.inv(to_picture), corners) - _outlines(places, half)
    return Lattice(to_picture, places, half, float(np.sqrt((miss**2).sum(axis=-1).mean())))


def _numbered(quads: Quads) -> tuple[Array, Array, float] | None:
    """Give whole numbers to spots; return their corners in one order, the numbers, half a side."""
    beside, below = neighbours(quads)
    start = int((beside | below).sum(axis=1).argmax())
    corners = _same_way(quads.corners, quads.corners[start])
    right, down = neighbours(Quads(corners))
    u, v = along_own_axes(Quads(corners))
    places = np.full((len(corners), 2), -99)
    places[start] = 0
    waiting = [start]
    while waiting:
        i = waiting.pop(0)
        for j in np.flatnonzero((right | down)[i] & (places[:, 0] == -99)):
            step = (np.sign(u[i, j]), 0) if right[i, j] else (0, np.sign(v[i, j]))
            places[j] = places[i] + np.array(step, int)
            waiting.append(int(j))
    steps = np.concatenate([np.abs(u[right]), np.abs(v[down])])
    known = places[:, 0] != -99
    if known.sum() < FEWEST:
        return None
    return corners[known], places[known], 0.5 / float(np.median(steps))


def _same_way(corners: Array, like: Array) -> Array:
    """Begin each outline at the corner that corresponds to the first of ``like``."""
    wanted = like - like.mean(axis=0)
    own = corners - corners.mean(axis=1, keepdims=True)
    fits = np.stack([(np.roll(own, -k, axis=1) * wanted).sum(axis=(1, 2)) for k in range(4)])
    best = fits.argmax(axis=0)
    return np.stack([np.roll(one, -k, axis=0) for one, k in zip(corners, best, strict=True)])


def _map(corners: Array, places: Array, half: float) -> Array | None:
    cv2 = opencv()
    side = float(np.median(np.sqrt(Quads(corners).areas)))
    grid = _outlines(places, half).reshape(-1, 2)
    found, _ = cv2.findHomography(grid, corners.reshape(-1, 2), cv2.RANSAC, max(0.15 * side, 1.5))
    if found is None or abs(np.linalg.det(found)) < 1e-9:
        return None
    matrix: Array = found
    return matrix


def _outlines(places: Array, half: float) -> Array:
    outlines: Array = places[:, None] + half * SQUARE
    return outlines


SQUARE: Array = np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])


def _on(quads: Quads, to_picture: Array, near: Array, half: float) -> tuple[Array, Array, float]:
    """Return corners and places of all spots that lie on the lattice, and half a side anew.

    Only a step beyond those it was laid through: far off, a map tells little.
    """
    back = project(np.linalg.inv(to_picture), quads.corners)
    middles = back.mean(axis=1)
    places = np.rint(middles)
    reach = np.abs(back - middles[:, None])
    sized = (reach > 0.7 * half).all(axis=(1, 2)) & (reach < 1.3 * half).all(axis=(1, 2))
    close = ((places >= near.min(axis=0) - 1) & (places <= near.max(axis=0) + 1)).all(axis=1)
    good = sized & close & (np.abs(middles - places) < ON_PLACE).all(axis=1)
    places = places.astype(int)
    _, first = np.unique(places[good], axis=0, return_index=True)
    chosen = np.flatnonzero(good)[first]
    if not len(chosen):
        return np.zeros((0, 4, 2)), np.zeros((0, 2), int), half
    corners = quads.corners[chosen]
    ordered = _by_lattice(corners, back[chosen])
    return ordered, places[chosen], float(np.median(reach[chosen]))


def _by_lattice(corners: Array, back: Array) -> Array:
    """Begin each outline at its corner of least column and row."""
    away = back - back.mean(axis=1, keepdims=True)
    ordered = np.empty_like(corners)
    for n, corner in enumerate(SQUARE):
        best = (away * corner).sum(axis=-1).argmax(axis=1)
        ordered[:, n] = corners[np.arange(len(corners)), best]
    return ordered
