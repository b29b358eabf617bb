"""Rows and columns: four-sided spots that lie as the patches of a chart do.

Each spot's own sides tell where its neighbours must be. Spots that agree on that are given whole
numbers, and one plane-to-plane map is laid through them all.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from refmatch.colorimetry.spectrum import Array
from refmatch.dabs.find import project
from refmatch.photo.decoded import Bools
from refmatch.photo.opencv import opencv

# Four-sided spots that are brighter than what is around them: what patches look like.

WINDOWS_PX = (11, 21, 41, 81, 161, 321)
"""Brighter than the mean of a square of this side: from thin gaps to a chart that fills a photo."""

BRIGHTER = 3
"""Codes of 255, evenly spaced to the eye."""

LEAST_AREA_PX, MOST_AREA_SHARE = 90.0, 0.06
LEAST_SOLID, LEAST_FOUR_SIDED = 0.88, 0.86
MOST_OBLONG = 3.0
CORNER_SLACK = 0.08
"""What counts as four-sided (own choice): a square patch, tilted, noisy, its corners rounded."""

SAME_SHARE, SAME_AREA = 0.3, 3.0
"""Closer than this share of its side and as large within this factor, two are the same patch: with
a small window only its rim is seen, whose inner edge is an outline too."""

MOST_QUADS = 2500


@dataclass(frozen=True, eq=False)
class Quads:
    """Four-sided spots in the picture they were looked for in.

    ``corners`` (n, 4, 2) in its pixels, clockwise; centres of pixels are whole numbers and a half.
    """

    corners: Array

    @property
    def middles(self) -> Array:
        """Where each lies, (n, 2)."""
        return self.corners.mean(axis=1)

    @property
    def areas(self) -> Array:
        """How large each is, (n,)."""
        one, other = np.moveaxis(self.corners[:, 2:] - self.corners[:, :2], 1, 0)
        return 0.5 * np.abs(one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0])


def quads_in(value: Array) -> Quads:
    """Return the four-sided bright spots of a picture, uint8 (rows, columns)."""
    cv2 = opencv()
    smooth = cv2.medianBlur(value, 3)
    quads: list[Array] = []
    for side in WINDOWS_PX:
        if side >= min(value.shape):
            break
        brighter = cv2.adaptiveThreshold(
            smooth, 255, cv2.ADAPTIVE_THRESH_MEAN_C, cv2.THRESH_BINARY, side, -BRIGHTER
        )
        contours, _ = cv2.findContours(brighter, cv2.RETR_LIST, cv2.CHAIN_APPROX_SIMPLE)
        most = MOST_AREA_SHARE * value.size
        quads += [quad for contour in contours if (quad := _quad(cv2, contour, most)) is not None]
    if not quads:
        return Quads(np.zeros((0, 4, 2)))
    return _once_each(np.stack(quads))


def _quad(cv2: Any, contour: Array, most: float) -> Array | None:
    """Return the four corners of an outline that has four, clockwise, else None."""
    if len(contour) < 4:
        return None
    area = cv2.contourArea(contour)
    if not LEAST_AREA_PX <= area <= most:
        return None
    hull = cv2.convexHull(contour)
    whole = cv2.contourArea(hull)
    if area < LEAST_SOLID * whole:
        return None
    near = cv2.approxPolyDP(hull, CORNER_SLACK * cv2.arcLength(hull, True), True)
    if len(near) != 4:
        return None
    corners: Array = near.reshape(4, 2).astype(float)
    if cv2.contourArea(near) < LEAST_FOUR_SIDED * whole:
        return None
    sides = np.linalg.norm(np.roll(corners, -1, axis=0) - corners, axis=1)
    if sides.max() > MOST_OBLONG * sides.min():
        return None
    return _grown(_clockwise(corners) + 0.5)


def _clockwise(corners: Array) -> Array:
    (ax, ay), (bx, by) = corners[2] - corners[0], corners[3] - corners[1]
    return corners if ax * by - ay * bx > 0.0 else corners[::-1]


def _grown(corners: Array) -> Array:
    """Move corners out by half a pixel a side: outlines run through the middles of pixels."""
    middle = corners.mean(axis=0)
    side = np.sqrt(Quads(corners[None]).areas[0])
    return middle + (corners - middle) * (1.0 + 1.0 / side)


def _once_each(corners: Array) -> Quads:
    """Leave out what was seen with several windows: the largest outline of each stays."""
    every = Quads(corners)
    order = np.argsort(-every.areas)[:MOST_QUADS]
    middles, areas = every.middles[order], every.areas[order]
    apart = np.linalg.norm(middles[:, None] - middles[None], axis=-1)
    same = (apart < SAME_SHARE * np.sqrt(areas)[None]) & (areas[:, None] < SAME_AREA * areas[None])
    larger = np.triu(same, 1)
    kept: list[int] = []
    gone = np.zeros(len(order), bool)
    for i in range(len(order)):
        if not gone[i]:
            kept.append(i)
            gone |= larger[i]
    return Quads(corners[order[kept]])


# Who lies beside whom: each four-sided spot's own sides tell where its neighbours must be.

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
        lattice = _lattice(quads, members)
        if lattice is not None:
            yield lattice


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
    homography, _ = cv2.findHomography(
        grid, corners.reshape(-1, 2), cv2.RANSAC, max(0.15 * side, 1.5)
    )
    if homography is None or abs(np.linalg.det(homography)) < 1e-9:
        return None
    matrix: Array = homography
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
