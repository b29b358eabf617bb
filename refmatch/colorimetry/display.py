"""Colours for screens and printers: D50 Lab to sRGB bytes, and what they cannot show."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from refmatch.colorimetry.adaptation import adaptation
from refmatch.colorimetry.lab import lab_to_xyz
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import ICC_WHITE

SRGB_WHITE: Array = np.array([0.3127 / 0.3290, 1.0, (1.0 - 0.3127 - 0.3290) / 0.3290]) * 100.0
"""XYZ of sRGB's white, from its chromaticity (IEC 61966-2-1:1999)."""

SRGB_TO_XYZ_D65: Array = 100.0 * np.array(
    [
        [0.4123907992659595, 0.3575843393838780, 0.1804807884018343],
        [0.2126390058715104, 0.7151686787677559, 0.0721923153607337],
        [0.0193308187155918, 0.1191947797946259, 0.9505321522496608],
    ]
)
"""Linear sRGB, 0 to 1, to XYZ, 0 to 100, from the primaries of IEC 61966-2-1:1999."""

SRGB_TO_XYZ: Array = adaptation(SRGB_WHITE, ICC_WHITE) @ SRGB_TO_XYZ_D65
"""Linear sRGB, 0 to 1, to XYZ adapted to D50, 0 to 100 (white is `ICC_WHITE`)."""

XYZ_TO_SRGB: Array = np.linalg.inv(SRGB_TO_XYZ)


def encode_srgb(linear: Array) -> Array:
    """Apply the sRGB transfer curve to linear values; IEC 61966-2-1:1999."""
    linear = np.asarray(linear, dtype=float)
    curved = 1.055 * np.maximum(linear, 0.0) ** (1.0 / 2.4) - 0.055
    return np.where(linear <= 0.0031308, 12.92 * linear, curved)


def decode_srgb(encoded: Array) -> Array:
    """Undo the sRGB transfer curve; IEC 61966-2-1:1999."""
    encoded = np.asarray(encoded, dtype=float)
    curved = ((np.maximum(encoded, 0.0) + 0.055) / 1.055) ** 2.4
    return np.where(encoded <= 0.04045, encoded / 12.92, curved)


def lab_to_linear_srgb(lab: Array) -> Array:
    """Convert Lab of a D50 white to linear sRGB, unclipped, white to 1, shape (..., 3)."""
    xyz = lab_to_xyz(lab, ICC_WHITE)
    return xyz @ XYZ_TO_SRGB.T


def lab_to_srgb8(lab: Array) -> npt.NDArray[np.uint8]:
    """Convert D50 Lab to sRGB bytes; what a screen cannot show keeps its lightness and hue.

    Chroma is given up, by halving, until the colour fits. Shape (..., 3).
    """
    lab = np.asarray(lab, dtype=float)
    low, high = np.zeros(lab.shape[:-1]), np.ones(lab.shape[:-1])
    keep = np.where(fits_srgb(lab), 1.0, 0.0)
    for _ in range(12):
        if np.all(keep == 1.0):
            break
        middle = (low + high) / 2.0
        fits = fits_srgb(_with_chroma(lab, middle))
        low, high = np.where(fits, middle, low), np.where(fits, high, middle)
    shown = _with_chroma(lab, np.where(keep == 1.0, 1.0, low))
    linear = np.clip(lab_to_linear_srgb(shown), 0.0, 1.0)
    return np.rint(encode_srgb(linear) * 255.0).astype(np.uint8)


def fits_srgb(lab: Array, slack: float = 0.002) -> npt.NDArray[np.bool_]:
    """Say which colours an sRGB screen can show, to within ``slack`` of linear light."""
    linear = lab_to_linear_srgb(lab)
    return np.all((linear >= -slack) & (linear <= 1.0 + slack), axis=-1)


def _with_chroma(lab: Array, share: Array) -> Array:
    scaled = lab.copy()
    scaled[..., 1:] *= np.asarray(share)[..., None]
    return scaled
