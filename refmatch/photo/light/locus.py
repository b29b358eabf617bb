"""Where a light stands beside the glowing black body: its temperature and its tint.

A light's colour temperature is that of the black body nearest to it; its tint,
Duv, is how far off it lies, towards green (plus) or towards pink (minus).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from refmatch.colorimetry.spectrum import Array

COOLEST_K, HOTTEST_K = 1000.0, 15000.0
"""The range over which Krystek's fit holds, in kelvin."""


class Temperature(NamedTuple):
    """A light's correlated colour temperature in kelvin, and its Duv (CIE 1960 u, v)."""

    kelvin: float
    duv: float


def blackbody_uv(kelvin: Array | float) -> Array:
    """Return the CIE 1960 (u, v) of a black body, 1000 to 15000 K, shape (..., 2).

    Right to 0.0002. Source: Krystek 1985, Color Research & Application 10, 38-40,
    doi:10.1002/col.5080100109; equations (1) and (2).
    """
    t = np.asarray(kelvin, dtype=float)
    u = (0.860117757 + 1.54118254e-4 * t + 1.28641212e-7 * t**2) / (
        1.0 + 8.42420235e-4 * t + 7.08145163e-7 * t**2
    )
    v = (0.317398726 + 4.22806245e-5 * t + 4.20481691e-8 * t**2) / (
        1.0 - 2.89741816e-5 * t + 1.61456053e-7 * t**2
    )
    return np.stack([u, v], axis=-1)


def xyz_to_uv(xyz: Array) -> Array:
    """Return the CIE 1960 (u, v) of XYZ on any scale, shape (..., 3) to (..., 2)."""
    x, y, z = xyz[..., 0], xyz[..., 1], xyz[..., 2]
    whole = x + 15.0 * y + 3.0 * z
    return np.stack([4.0 * x / whole, 6.0 * y / whole], axis=-1)


def uv_to_xyz(uv: Array) -> Array:
    """Return XYZ with Y = 1 of a CIE 1960 (u, v), shape (2,) to (3,)."""
    u, v = uv
    return np.array([1.5 * u / v, 1.0, (2.0 - 0.5 * u - 5.0 * v) / v])


def temperature_of(xyz: Array) -> Temperature:
    """Return the temperature and tint of a light, XYZ on any scale, shape (3,).

    The nearest of a ladder of black bodies, a 2-mired rung apart, then the foot of
    the perpendicular between its neighbours (the triangular solution of Ohno 2014,
    Leukos 10, 47-55, doi:10.1080/15502724.2014.839020). Lights off the ends of the
    ladder get the end's temperature.
    """
    mired = np.linspace(1e6 / HOTTEST_K, 1e6 / COOLEST_K, 468)
    ladder = blackbody_uv(1e6 / mired)
    uv = xyz_to_uv(np.asarray(xyz, dtype=float))
    nearest = int(np.argmin(np.sum((ladder - uv) ** 2, axis=1)))
    low, high = max(nearest - 1, 0), min(nearest + 1, len(mired) - 1)
    step = ladder[high] - ladder[low]
    along = float(np.clip((uv - ladder[low]) @ step / (step @ step), 0.0, 1.0))
    kelvin = 1e6 / (mired[low] + along * (mired[high] - mired[low]))
    off = uv - blackbody_uv(kelvin)
    return Temperature(float(kelvin), float(np.copysign(np.hypot(*off), off[1])))


def light_of(temperature: Temperature) -> Array:
    """Return XYZ with Y = 1 of a light of this temperature and tint, shape (3,)."""
    foot = blackbody_uv(temperature.kelvin)
    along = blackbody_uv(temperature.kelvin * 0.999) - blackbody_uv(temperature.kelvin * 1.001)
    across = np.array([-along[1], along[0]]) / np.hypot(*along)
    return uv_to_xyz(foot + temperature.duv * np.copysign(1.0, across[1]) * across)
