"""A reflectance bent to another colour: the same shape, three broad stretches raised or lowered.

Of a dab whose recipe is known its spectrum is known but for a little; three numbers are as many
as a camera, or Lab, can tell of that little.
"""

from __future__ import annotations

import numpy as np

from refmatch.colorimetry.lab import lab_slopes, xyz_to_lab
from refmatch.colorimetry.spectrum import WAVELENGTHS_NM, Array
from refmatch.colorimetry.viewing import viewing

CENTRES_NM: Array = np.array([450.0, 540.0, 620.0])
WIDTH_NM = 45.0
"""About where the eye's three responses to colour lie (own choice)."""

MOST_STEPS = 40
LONGEST_STEP = 0.5
CLOSE_DELTA_E = 1e-6


def bumps() -> Array:
    """Return three shapes, (31, 3), that add up to 1 in every band."""
    apart = (WAVELENGTHS_NM[:, None] - CENTRES_NM) / WIDTH_NM
    height = np.exp(-0.5 * apart**2)
    share: Array = height / height.sum(axis=1, keepdims=True)
    return share


def bent(reflectance: Array, bends: Array) -> Array:
    """Return reflectance (..., 31) times the exponential of ``bends`` (..., 3) along the bumps."""
    return reflectance * np.exp(bends @ bumps().T)


def bent_to(reflectance: Array, lab: Array) -> Array:
    """Return the reflectance, (31,), bent so that its colour is ``lab`` (3,), D50.

    Newton's steps; where no such bend is found the nearest one met.
    """
    seen, bends = viewing(), np.zeros(3)
    best, nearest = reflectance, np.inf
    for _ in range(MOST_STEPS):
        now = bent(reflectance, bends)
        xyz = now @ seen.weights
        off = lab - xyz_to_lab(xyz, seen.white)
        if (distance := float(np.linalg.norm(off))) < nearest:
            best, nearest = now, distance
        if distance < CLOSE_DELTA_E:
            break
        step = np.linalg.lstsq(lab_by_bends(now), off, rcond=None)[0]
        bends = bends + step * min(1.0, LONGEST_STEP / max(float(np.abs(step).max()), 1e-12))
    return best


def lab_by_bends(reflectance: Array) -> Array:
    """Return the slopes, (..., 3, 3), of Lab by the bends of reflectance (..., 31)."""
    seen = viewing()
    by_bends = reflectance[..., :, None] * bumps()
    by_xyz = lab_slopes(reflectance @ seen.weights, seen.white)
    return by_xyz @ (seen.weights.T @ by_bends)
