"""Value, the painter's lightness: Munsell's ten even steps from black to white.

Values come first in a picture, and painters count them from 0 (black) to 10
(white). L* divided by ten is close, but not the same; this is the standard's own
relation, and its inverse.
"""

from __future__ import annotations

import numpy as np

from refmatch.colorimetry.lab import EPSILON, KAPPA
from refmatch.colorimetry.spectrum import Array

COEFFICIENTS: Array = np.array([0.0, 1.1914, -0.22533, 0.23352, -0.020484, 0.00081939])
"""Powers 0 to 5 of the value; the quintic of ASTM D1535-08e1, perfect reflector Y = 100."""

_SLOPES: Array = COEFFICIENTS[1:] * np.arange(1, 6)


def munsell_value(lab: Array) -> Array:
    """Return the Munsell value, 0 to 10, of CIELAB colours, shape (..., 3) to (...)."""
    return value_from_lstar(np.asarray(lab, dtype=float)[..., 0])


def value_from_lstar(lstar: Array | float) -> Array:
    """Return the Munsell value, 0 to 10, of a lightness L*, 0 to 100, any shape."""
    return value_from_luminance(_luminance_from_lstar(lstar))


def value_from_luminance(luminance: Array | float) -> Array:
    """Return the Munsell value, 0 to 10, of a luminance factor Y, 0 to 100, any shape.

    Solves `luminance_from_value` by Newton's method from V = L*/10, which is within
    0.2 of the root; the quintic rises all the way, so four steps end at rounding
    error. Luminances outside 0 to 100 (glare, noise) get the value of the nearest end.
    """
    wanted: Array = np.clip(np.asarray(luminance, dtype=float), 0.0, 100.0)
    value = _lstar_from_luminance(wanted) / 10.0
    for _ in range(4):
        slope = np.polynomial.polynomial.polyval(value, _SLOPES)
        value = value - (luminance_from_value(value) - wanted) / slope
    return np.clip(value, 0.0, 10.0)


def luminance_from_value(value: Array | float) -> Array:
    """Return the luminance factor Y, 0 to 100, of a Munsell value, 0 to 10.

    Source: ASTM D1535-08e1, against the perfect reflecting diffuser.
    """
    return np.asarray(np.polynomial.polynomial.polyval(np.asarray(value, float), COEFFICIENTS))


def lstar_from_value(value: Array | float) -> Array:
    """Return the lightness L*, 0 to 100, of a Munsell value, 0 to 10."""
    return _lstar_from_luminance(luminance_from_value(value))


def _lstar_from_luminance(luminance: Array) -> Array:
    ratio = np.asarray(luminance, dtype=float) / 100.0
    return np.where(ratio > EPSILON, 116.0 * np.cbrt(ratio) - 16.0, KAPPA * ratio)


def _luminance_from_lstar(lstar: Array | float) -> Array:
    lstar = np.asarray(lstar, dtype=float)
    cube = ((lstar + 16.0) / 116.0) ** 3
    return np.where(cube > EPSILON, cube, lstar / KAPPA) * 100.0
