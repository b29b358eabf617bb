"""Seeing the markers: found in a small grey picture, their corners refined in the photo itself."""

from __future__ import annotations

from typing import Any

import numpy as np

from refmatch.card.markers import MODULES, dictionary
from refmatch.colorimetry.spectrum import Array
from refmatch.photo.opencv import opencv
from refmatch.photo.photo import Photo, ends_of
from refmatch.photo.working import mean_of_squares

LONGEST_SIDE_PX = 2400
"""Markers are looked for at this size: fine enough for a card that fills half the photo."""

STRIP_ROWS = 512
MOST_REFINED_PX = 15
"""A corner is refined within this, or 0.6 of a marker's module where that is less."""


def detect(photo: Photo) -> dict[int, Array]:
    """Return the corners of every marker seen, (4, 2) in photo pixels, by its number.

    Clockwise from the marker's own top left. A number seen twice is left out: one of
    the two is mistaken.
    """
    grey, side = small_grey(photo)
    corners, found, _ = _detector().detectMarkers(grey)
    if found is None:
        return {}
    ids = [int(number) for number in found.ravel()]
    return {
        number: _refined(photo, (each.reshape(4, 2) + 0.5) * side, side)
        for number, each in zip(ids, corners, strict=True)
        if ids.count(number) == 1
    }


def small_grey(photo: Photo) -> tuple[Array, int]:
    """Return the photo in grey, uint8, and how many of its pixels each pixel's side spans.

    Made from the file's own codes, which are evenly spaced to the eye, and stretched so that
    dark and linear files serve as well.
    """
    side = max(1, -(-max(photo.width_px, photo.height_px) // LONGEST_SIDE_PX))
    rows = side * max(1, STRIP_ROWS // side)
    strips = [
        _grey(photo.samples[top : top + rows], photo.transform.kind, side)
        for top in range(0, photo.height_px, rows)
    ]
    grey = np.concatenate(strips)
    low, high = np.percentile(grey[::4, ::4], (0.5, 99.5))
    stretched = np.clip((grey - low) * (255.0 / max(float(high - low), 1e-6)), 0.0, 255.0)
    return stretched.astype(np.uint8), side


def _grey(samples: Array, kind: str, side: int) -> Array:
    """Return the mean of the channels over squares of pixels, 0 to 1, more for more light."""
    means = mean_of_squares(np.ascontiguousarray(samples), side)
    grey: Array = means.astype(np.float32).mean(axis=-1) / ends_of(samples)[1]
    return 1.0 - grey if kind == "cmyk" else grey


def _detector() -> Any:
    aruco = opencv().aruco
    settings = aruco.DetectorParameters()
    settings.adaptiveThreshWinSizeMax = 53
    settings.minMarkerPerimeterRate = 0.015
    settings.cornerRefinementMethod = aruco.CORNER_REFINE_SUBPIX
    return aruco.ArucoDetector(dictionary(), settings)


def _refined(photo: Photo, corners_px: Array, side: int) -> Array:
    """Refine corners in the photo's own pixels; one that runs away stays where it was."""
    module_px = np.linalg.norm(np.roll(corners_px, -1, axis=0) - corners_px, axis=1).min() / MODULES
    reach = int(np.clip(round(0.6 * module_px), 2, MOST_REFINED_PX))
    refined = np.array([_refined_corner(photo, corner, reach) for corner in corners_px])
    strayed = np.linalg.norm(refined - corners_px, axis=1) > max(0.5 * module_px, side)
    return np.where(strayed[:, None], corners_px, refined)


def _refined_corner(photo: Photo, corner_px: Array, reach: int) -> Array:
    around = 2 * reach + 4
    left, top = (max(0, int(at) - around) for at in corner_px)
    columns = min(photo.width_px, int(corner_px[0]) + around) - left
    rows = min(photo.height_px, int(corner_px[1]) + around) - top
    if min(rows, columns) <= 2 * reach + 5:
        return corner_px
    grey = _grey(photo.region(top, left, rows, columns), photo.transform.kind, 1)
    start = (corner_px - 0.5 - (left, top)).astype(np.float32).reshape(1, 1, 2)
    cv2 = opencv()
    until = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 30, 0.01)
    found = cv2.cornerSubPix(grey, start, (reach, reach), (-1, -1), until)
    refined: Array = found.reshape(2) + 0.5 + (left, top)
    return refined
