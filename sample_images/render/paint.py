"""Oil paint laid on with a brush: thick dabs with ridges, coloured by the paint model itself.

The renderer's clear skin over a coloured ground lets light bounce inside, as Saunderson
has it with a refractive index of 1.5; so it is given the paint's inner reflectance.
"""

from __future__ import annotations

import numpy as np

from refmatch.colorimetry.spectrum import WAVELENGTHS_NM as BANDS_NM
from refmatch.paint.kubelka_munk import opaque_reflectance
from refmatch.paint.library import find_pigment

from .mesh import Mesh, grid
from .noise import fractal_noise, smooth_noise, step
from .spectra import WAVELENGTHS_NM

SHAPE = (210, 280)


def inner_reflectance(portions: dict[str, float]) -> np.ndarray:
    """Return the inner reflectance of parts by volume of built-in pigments, on the render grid.

    Beyond 400 to 700 nm the end bands go on.
    """
    total = sum(portions.values())
    pigments = [(find_pigment(name), parts / total) for name, parts in portions.items()]
    absorbed = sum(share * pigment.absorption for pigment, share in pigments)
    scattered = sum(share * pigment.scattering for pigment, share in pigments)
    return np.interp(WAVELENGTHS_NM, BANDS_NM, opaque_reflectance(absorbed / scattered))


def dab(length_m: float, width_m: float, thick_m: float, seed: int) -> Mesh:
    """Return a dab of two or three strokes along x about the origin; z = 0 is the ground.

    The sheet dives under the ground outside the dab; where it comes up is the paint's edge.
    """
    draw = np.random.default_rng(seed)
    rows, cols = SHAPE
    y, x = np.meshgrid(
        np.linspace(-0.72, 0.72, rows) * width_m,
        np.linspace(-0.72, 0.72, cols) * length_m,
        indexing="ij",
    )
    height = np.full(SHAPE, -1.0)
    strokes = draw.integers(2, 4)
    for k in range(strokes):
        across = (k - (strokes - 1) / 2) * width_m * 0.62 / strokes
        slanted = y - across - draw.normal(0, 0.05) * x
        one = _stroke(x, slanted, length_m, width_m * 1.25 / strokes, draw.integers(1 << 30))
        height = np.maximum(height, one * draw.uniform(0.85, 1.15))
    blob = fractal_noise(SHAPE, (60, 70), seed + 3, 3)
    points = np.stack(
        [x, y, thick_m * np.where(height > 0, height * (1 + 0.10 * blob), height)], -1
    )
    return grid(points)


def _stroke(x: np.ndarray, y: np.ndarray, length_m: float, width_m: float, seed: int) -> np.ndarray:
    """Return one stroke's height, 1 in the body, below 0 outside: bristle ridges, a lifted end."""
    shape = x.shape
    wander = smooth_noise(shape, (shape[0], shape[1] / 3), seed) * 0.03 * width_m
    t = (y + wander) / (width_m / 2)
    ragged = 0.045 * fractal_noise(shape, (9, 120), seed + 1, 3)
    s = x / (length_m / 2) + ragged
    inside = np.minimum((1.0 - np.abs(t)) * 4.5, (1.0 - np.abs(s)) * 9.0 * (1 - 0.5 * t**2))
    inside = inside + 0.35 * fractal_noise(shape, (14, 24), seed + 2, 3) * np.exp(-(inside**2))
    bristles = fractal_noise(shape, (6.5, 260), seed + 3, 2)
    body = 0.62 + 0.10 * bristles + 0.05 * fractal_noise(shape, (26, 30), seed + 4, 3)
    rim = 0.30 * np.exp(-(((np.abs(t) - 0.84) / 0.11) ** 2)) * step(-np.abs(s), -0.98, -0.75)
    lift = 0.55 * np.exp(-(((s - 0.86) / 0.07) ** 2)) * (1 + 0.35 * bristles)
    return np.where(inside > 0, np.minimum(inside * 1.2, 1.0) * (body + rim + lift), inside)


def primed_ground(size: tuple[int, int], seed: int) -> tuple[np.ndarray, np.ndarray]:
    """Return (linear sRGB, height) of a board primed in brushed coats, a little soiled."""
    along = fractal_noise(size, (7, 190), seed, 3)
    crossed = fractal_noise(size, (190, 7), seed + 1, 3)
    patch = step(fractal_noise(size, (300, 300), seed + 2, 4), -1.1, 1.1)
    brushed = along * patch + crossed * (1 - patch)
    soil = fractal_noise(size, (320, 320), seed + 3, 5)
    rgb = np.array([0.78, 0.755, 0.69]) * (1 + 0.012 * brushed + 0.014 * soil)[..., None]
    return rgb, np.clip(0.5 + 0.08 * brushed, 0, 1)
