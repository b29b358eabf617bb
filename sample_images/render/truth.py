"""What is truly there: the colour of a place, once the scene's light is neutralised.

The truth of a place is its radiance before the camera, through the CIE 1931 observer,
averaged over the disc in linear light; adapted by Bradford from the scene's light to
D50; and scaled so that the grey card reads its own L*. Gloss, shadow and light thrown
by neighbours are part of it: it is the colour seen there, not that of the material.
"""

from __future__ import annotations

import numpy as np

from refmatch.colorimetry.lab import adaptation, lab_to_xyz, xyz_to_lab
from refmatch.colorimetry.viewing import ICC_WHITE


def disc_mean(image: np.ndarray, x_px: float, y_px: float, diameter_px: float) -> np.ndarray:
    """Return the mean of (h, w, channels) over a disc, pixels weighted by their coverage."""
    coverage, rows, cols = _coverage(x_px, y_px, diameter_px)
    return np.tensordot(coverage, image[rows, cols], axes=2) / coverage.sum()


def disc_spread(image: np.ndarray, x_px: float, y_px: float, diameter_px: float) -> np.ndarray:
    """Return the relative spread of each channel over a disc."""
    coverage, rows, cols = _coverage(x_px, y_px, diameter_px)
    inside = image[rows, cols][coverage > 0.5]
    return inside.std(axis=0) / inside.mean(axis=0)


def _coverage(x_px: float, y_px: float, diameter_px: float) -> tuple[np.ndarray, slice, slice]:
    radius, fine = diameter_px / 2.0, 8
    top, left = int(np.floor(y_px - radius)), int(np.floor(x_px - radius))
    size = int(np.ceil(diameter_px)) + 2
    step = (np.arange(size * fine) + 0.5) / fine
    inside = np.hypot(top + step[:, None] - y_px, left + step[None] - x_px) <= radius
    coverage = inside.reshape(size, fine, size, fine).mean(axis=(1, 3))
    return coverage, slice(top, top + size), slice(left, left + size)


def grey_luminance(lstar: float) -> float:
    """Return Y, 0 to 1, of a grey of the given L*."""
    return float(lab_to_xyz(np.array([lstar, 0.0, 0.0]), ICC_WHITE)[1] / 100.0)


def true_lab(xyz: np.ndarray, white: np.ndarray) -> np.ndarray:
    """Return D50 Lab of XYZ seen beside a perfect white of XYZ ``white`` in the same light."""
    return xyz_to_lab(
        adaptation(white / white[1] * 100.0, ICC_WHITE) @ xyz / white[1] * 100.0, ICC_WHITE
    )


def colour_temperature(xyz: np.ndarray) -> float:
    """Return the correlated colour temperature (Ohno 2013) in kelvin."""
    import colour

    xy = colour.XYZ_to_xy(xyz)
    return float(colour.temperature.uv_to_CCT_Ohno2013(colour.xy_to_UCS_uv(xy))[0])
