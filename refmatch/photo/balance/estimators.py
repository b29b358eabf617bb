"""Two guesses at the light from a picture alone: its average, and that of its edges.

Both are means of the Minkowski kind, the p-th root of the mean of p-th powers: 1 is
the plain mean, infinity the largest value, and 6 leans on light things and clear
edges, which say more of the light than dark ones, without hanging on a single pixel.
"""

from __future__ import annotations

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.photo.balance.guess import Scene
from refmatch.photo.opencv import opencv

NORM = 6
"""Best of the p tried by Finlayson & Trezzi 2004 (from memory)."""

BLUR_PX = 1.5
"""Standard deviation of the blur before edges are taken, at overview size."""


def grey_world_light(scene: Scene) -> Array:
    """Return the light, cones of shape (3,) with mean 1, for which the picture averages grey.

    Shades of grey: Finlayson & Trezzi 2004, Proc. IS&T/SID 12th Color Imaging
    Conference, 37-41.
    """
    return _of_mean_one(_minkowski(scene.cones[scene.usable]))


def grey_edge_light(scene: Scene) -> Array:
    """Return the light, cones of shape (3,) with mean 1, for which differences average grey.

    First-order grey-edge: van de Weijer, Gevers & Gijsenij 2007, IEEE Trans. Image
    Processing 16, 2207-2214, doi:10.1109/TIP.2007.901808: their framework with n = 1, p = 6.
    Edges within the blur's reach of an unusable pixel are left out.
    """
    cv2 = opencv()

    smooth = cv2.GaussianBlur(scene.cones, (0, 0), BLUR_PX)
    across = cv2.Sobel(smooth, cv2.CV_32F, 1, 0, ksize=3)
    down = cv2.Sobel(smooth, cv2.CV_32F, 0, 1, ksize=3)
    reach = 2 * int(np.ceil(2.0 * BLUR_PX)) + 1
    inside = cv2.erode(scene.usable.astype(np.uint8), np.ones((reach, reach), np.uint8)) > 0
    if not inside.any():
        inside = scene.usable
    return _of_mean_one(_minkowski(np.hypot(across, down)[inside]))


def _minkowski(values: Array) -> Array:
    """Return the Minkowski mean of (n, 3) values over n; scaled first, against underflow."""
    largest = max(float(values.max()), 1e-12)
    scaled = values.astype(np.float64) / largest
    return np.asarray(largest * np.mean(scaled**NORM, axis=0) ** (1.0 / NORM))


def _of_mean_one(cones: Array) -> Array:
    """Scale a light to mean 1; no cone may be nothing, for no light is without it."""
    cones = np.maximum(cones, 1e-3 * max(float(cones.max()), 1e-12))
    return np.asarray(cones / cones.mean())
