"""What any camera is taken for before its photo is looked at: the eye under the lamp.

A camera's way from reflectance to linear sRGB is one weight for each band and channel. Makers
steer it towards the CIE observer's, adapted from the lamp to D50; what is left is a Gaussian
belief: a 3 x 3 that is a little off, sensitivities of another shape, a lamp that is not quite
the one in the tables. All of it keeps white white; white balance and exposure stand apart.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.spectrum import BANDS, WAVELENGTHS_NM, Array
from refmatch.swatch.lamp import Light, lamp

MATRIX_DOUBT, VIVID_DOUBT = 0.05, 0.10
"""Standard deviation of each entry off the diagonal of the maker's 3 x 3, and of how much chroma
it adds (own choice)."""

SENSOR_DOUBT, SENSOR_REACH_NM = 0.5, 25.0
"""How far each channel's weights are off, as a part of its usual weight, and how smoothly."""

USUAL = 0.4
"""A channel's usual weight at a band, as a part of the three channels' together."""

TINT_DOUBT, TINT_REACH_NM = 0.08, 80.0
"""How far the lamp's spectrum is off, alike in all channels."""

LIKELY, LAMP_DOUBT = ("D65", "LED", "A"), 0.7
"""Lamps that an unknown light may lean to; and how far. A maker's 3 x 3 aims at how things look
by day, so a known lamp may lean back to D50."""

KEPT_SHARE = 1e-3
"""Directions whose deviation is below this part of the largest are left out."""


@dataclass(frozen=True, eq=False)
class Generic:
    """``weights`` (31, 3), reflectance to linear sRGB with white at 1, and ``ways`` (m, 31, 3).

    A camera is weights + sum z_j ways_j, z_j independent about 0 with standard deviation 1.
    """

    weights: Array
    ways: Array


def generic_camera(light: Light | None = None) -> Generic:
    """Return the belief about a camera under a light, or under one that nobody told.

    Raises:
        UsageError: no such light.
    """
    weights = lamp("D50" if light is None else light)
    covariance = _matrix(weights) + _sensor(weights) + _tint(weights)
    for other in LIKELY if light is None else ("D50",):
        covariance += _alike(LAMP_DOUBT * _white_kept(lamp(other) - weights, weights))
    values, vectors = np.linalg.eigh(covariance)
    kept = values > KEPT_SHARE**2 * values[-1]
    ways = (vectors[:, kept] * np.sqrt(values[kept])).T.reshape(-1, BANDS, 3)
    return Generic(weights, ways[::-1])


def _white_kept(way: Array, weights: Array) -> Array:
    """Take from a way, (..., 31, 3), what would tint white."""
    return way - way.sum(axis=-2, keepdims=True) * weights / weights.sum(axis=0)


def _alike(*ways: Array) -> Array:
    """Return the covariance, (93, 93), of ways (31, 3) each in an unknown amount of sd 1."""
    flat = np.stack([way.ravel() for way in ways])
    return flat.T @ flat


def _matrix(weights: Array) -> Array:
    luma = (weights @ np.array([0.2126, 0.7152, 0.0722]))[:, None]
    ways = [VIVID_DOUBT * (weights - luma)]
    for into in range(3):
        for other in range(3):
            if other != into:
                way = np.zeros_like(weights)
                way[:, into] = MATRIX_DOUBT * (weights[:, other] - weights[:, into])
                ways.append(way)
    return _alike(*ways)


def _sensor(weights: Array) -> Array:
    """Return the covariance of sensitivities of another shape: bends in each channel by itself."""
    bends = SENSOR_DOUBT * USUAL * np.abs(weights).sum(axis=1) * _bends(SENSOR_REACH_NM)
    apart = np.eye(3)[:, None, None, :] * bends[None, :, :, None]
    return _alike(*_white_kept(apart.reshape(-1, BANDS, 3), weights))


def _tint(weights: Array) -> Array:
    """Return the covariance of a lamp of another spectrum: bends in all channels at once."""
    return _alike(*_white_kept(TINT_DOUBT * _bends(TINT_REACH_NM)[:, :, None] * weights, weights))


def _bends(reach_nm: float) -> Array:
    """Return independent ways, (31, 31), that make up smooth bends of standard deviation 1."""
    apart = WAVELENGTHS_NM[:, None] - WAVELENGTHS_NM[None, :]
    values, vectors = np.linalg.eigh(np.exp(-0.5 * (apart / reach_nm) ** 2))
    return (vectors * np.sqrt(np.maximum(values, 0.0))).T
