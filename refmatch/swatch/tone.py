"""A camera's tone curve: what it makes of light before it is written as sRGB.

Light and codes are compared on a lightness scale, 0 black to 1 white, like CIELAB's L*, one for
each channel. There the curve is the integral of an exponential, so that it always rises:
T(u) = I(u) / I(1), I(u) = integral from 0 to u of exp(sum a_j P_j(2s - 1)), with Legendre's
polynomials P_j: P_1 makes it brighter or darker, P_2 steeper in the middle.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.lab import EPSILON, KAPPA
from refmatch.colorimetry.spectrum import Array

TONE_DOUBT: Array = np.array([0.35, 0.45, 0.25, 0.15])
"""Standard deviations of a_1 to a_4 among cameras (own choice)."""

TERMS = len(TONE_DOUBT)
_STEPS = 400
_GRID: Array = np.linspace(0.0, 1.0, _STEPS + 1)


def lightness(linear: Array) -> Array:
    """Return L* / 100 of linear light, white 1; goes on straight below 0."""
    linear = np.asarray(linear, dtype=float)
    root = np.cbrt(np.maximum(linear, EPSILON))
    curved = np.where(linear > EPSILON, root, (KAPPA * linear + 16.0) / 116.0)
    return (116.0 * curved - 16.0) / 100.0


def lightness_slope(linear: Array) -> Array:
    """Return the slope of `lightness`."""
    high = np.maximum(linear, EPSILON) ** (-2.0 / 3.0) / 3.0
    return 1.16 * np.where(linear > EPSILON, high, KAPPA / 116.0)


def linear_of(value: Array) -> Array:
    """Return the linear light of a lightness; the inverse of `lightness`."""
    curved = (100.0 * np.asarray(value, dtype=float) + 16.0) / 116.0
    cube = curved**3
    return np.where(cube > EPSILON, cube, (116.0 * curved - 16.0) / KAPPA)


@dataclass(frozen=True, eq=False)
class Tone:
    """A tone curve, tabulated: ``curve`` (401,) and its slopes ``by_terms`` (401, 4) from 0 to 1.

    Beyond 0 and 1 it goes on straight.
    """

    curve: Array
    slope: Array
    by_terms: Array

    @classmethod
    def of(cls, terms: Array) -> Tone:
        """Return the curve of a_1 to a_4; all zero is no curve at all."""
        shapes = _shapes()
        steep = np.exp(shapes @ terms)
        area = _integral(steep)
        by_area = _integral(steep[:, None] * shapes)
        curve = area / area[-1]
        by_terms = (by_area - curve[:, None] * by_area[-1]) / area[-1]
        return cls(curve, steep / area[-1], by_terms)

    def __call__(self, value: Array) -> Array:
        """Return what becomes of a lightness."""
        inside = np.clip(value, 0.0, 1.0)
        return np.interp(inside, _GRID, self.curve) + (value - inside) * self.steepness(value)

    def steepness(self, value: Array) -> Array:
        """Return the slope at a lightness."""
        return np.interp(value, _GRID, self.slope)

    def slopes(self, value: Array) -> Array:
        """Return the slopes by a_1 to a_4, (..., 4), at a lightness."""
        value = np.asarray(value)
        return np.stack([np.interp(value, _GRID, column) for column in self.by_terms.T], axis=-1)

    def undone(self, value: Array) -> Array:
        """Return the lightness before the curve."""
        value = np.asarray(value)
        inside = np.interp(value, self.curve, _GRID)
        beyond = value - np.clip(value, 0.0, 1.0)
        return inside + beyond / self.steepness(inside)


def _shapes() -> Array:
    """Return P_1 to P_4 along the curve, (401, 4)."""
    return np.polynomial.legendre.legvander(2.0 * _GRID - 1.0, TERMS)[:, 1:]


def _integral(values: Array) -> Array:
    """Return the running integral from 0 by the trapezium rule, along the first axis."""
    steps = 0.5 * (values[1:] + values[:-1]) / _STEPS
    return np.concatenate([np.zeros_like(values[:1]), np.cumsum(steps, axis=0)])
