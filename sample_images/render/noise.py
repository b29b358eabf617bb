"""Chance with a shape: smooth, fractal and speckled fields, the same for the same seed."""

from __future__ import annotations

import cv2
import numpy as np


def smooth_noise(shape: tuple[int, int], cell: tuple[float, float], seed: int) -> np.ndarray:
    """Return noise of unit spread whose features are ``cell`` pixels high and wide.

    It wraps around from left to right, so that it can go round a fruit.
    """
    rows = max(2, round(shape[0] / cell[0]))
    cols = max(2, round(shape[1] / cell[1]))
    coarse = np.random.default_rng(seed).standard_normal((rows, cols)).astype(np.float32)
    around = np.concatenate([coarse[:, -2:], coarse, coarse[:, :2]], axis=1)
    step = shape[1] / cols
    wide = cv2.resize(around, (round((cols + 4) * step), shape[0]), interpolation=cv2.INTER_CUBIC)
    start = round(2 * step)
    return wide[:, start : start + shape[1]] * 1.3


def fractal_noise(
    shape: tuple[int, int], cell: tuple[float, float], seed: int, octaves: int = 5
) -> np.ndarray:
    """Return a sum of ever finer, ever weaker `smooth_noise`, of about unit spread."""
    total = np.zeros(shape, dtype=np.float32)
    for octave in range(octaves):
        shrink = 2.0**octave
        finer = (max(cell[0] / shrink, 1.0), max(cell[1] / shrink, 1.0))
        total += smooth_noise(shape, finer, seed + 101 * octave) / shrink**0.9
    return total / 1.35


def specks(shape: tuple[int, int], count: int, radius_px: tuple[float, float], seed: int):
    """Return a field, 0 to 1, of ``count`` soft round specks with radii in the given range."""
    draw = np.random.default_rng(seed)
    field = np.zeros(shape, dtype=np.float32)
    for _ in range(count):
        row, col = draw.uniform(0, shape[0]), draw.uniform(0, shape[1])
        radius = draw.uniform(*radius_px)
        centre = (round(col * 16), round(row * 16))
        cv2.circle(field, centre, round(radius * 16), draw.uniform(0.4, 1.0), -1, cv2.LINE_AA, 4)
    return cv2.GaussianBlur(field, (0, 0), max(radius_px[0] * 0.5, 0.6))


def step(field: np.ndarray, low: float, high: float) -> np.ndarray:
    """Return 0 below ``low``, 1 above ``high``, and an even curve between."""
    t = np.clip((field - low) / (high - low), 0.0, 1.0)
    return t * t * (3.0 - 2.0 * t)
