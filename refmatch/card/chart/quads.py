"""Four-sided spots that are brighter than what is around them: what patches look like."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.photo.opencv import opencv

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
    found: list[Array] = []
    for side in WINDOWS_PX:
        if side >= min(value.shape):
            break
        brighter = cv2.adaptiveThreshold(
            smooth, 255, cv2.ADAPTIVE_THRESH_MEAN_C, cv2.THRESH_BINARY, side, -BRIGHTER
        )
        contours, _ = cv2.findContours(brighter, cv2.RETR_LIST, cv2.CHAIN_APPROX_SIMPLE)
        most = MOST_AREA_SHARE * value.size
        found += [quad for each in contours if (quad := _quad(cv2, each, most)) is not None]
    if not found:
        return Quads(np.zeros((0, 4, 2)))
    return _once_each(np.stack(found))


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
