"""How sharp the photo is where it matters: the width of the markers' own edges."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from refmatch.card.homography import Homography, project
from refmatch.card.layout import Marker
from refmatch.card.markers import MODULES
from refmatch.colorimetry.spectrum import Array
from refmatch.photo.photo import Photo

ALONG = np.linspace(0.2, 0.8, 25)
STEPS = 41
REACH = 0.8
"""How far on each side of an edge, in modules: the next one's own edge is not crossed."""


def edge_width_mm(photo: Photo, homography: Homography, markers: Sequence[Marker]) -> float:
    """Return how far the step from black to white is spread out, 10 to 90 %: the median of all.

    Each side of each marker is crossed at many points and the crossings are averaged; light
    is linear, so that the camera's tone curve does not sharpen or blur the step.
    """
    widths = []
    for marker in markers:
        corners = marker.place.corners_mm
        reach = REACH * marker.place.width_mm / MODULES
        for side in range(4):
            profile = _crossed(photo, homography, corners[side], corners[(side + 1) % 4], reach)
            if profile is not None:
                widths.append(_width(profile) * 2.0 * reach / (STEPS - 1))
    return float(np.median(widths)) if widths else float("inf")


def _crossed(
    photo: Photo, homography: Homography, start: Array, end: Array, reach_mm: float
) -> Array | None:
    """Return mean light from inside one side to outside it, (steps,)."""
    along = start + ALONG[:, None] * (end - start)
    outward = np.array([end[1] - start[1], start[0] - end[0]]) / np.linalg.norm(end - start)
    across = np.linspace(-reach_mm, reach_mm, STEPS)
    points = project(
        homography.to_photo, along[None] + across[:, None, None] * outward[None, None, :]
    )
    columns, rows = np.floor(points[..., 0]).astype(int), np.floor(points[..., 1]).astype(int)
    left, top = int(columns.min()), int(rows.min())
    wide, high = int(columns.max()) - left + 1, int(rows.max()) - top + 1
    inside = left >= 0 and top >= 0 and left + wide <= photo.width_px
    if not inside or top + high > photo.height_px:
        return None
    light = photo.linear(top, left, high, wide)[..., 1]
    profile: Array = light[rows - top, columns - left].mean(axis=1)
    return profile


def _width(profile: Array) -> float:
    """Return how many steps the rise from 10 to 90 % takes."""
    low, high = profile[: STEPS // 8].mean(), profile[-STEPS // 8 :].mean()
    if high <= low:
        return float(STEPS)
    rising = np.maximum.accumulate((profile - low) / (high - low))
    return float(np.searchsorted(rising, 0.9) - np.searchsorted(rising, 0.1))
