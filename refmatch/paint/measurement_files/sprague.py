"""Values between regularly spaced ones: Sprague's interpolation, which CIE 167 recommends."""

from __future__ import annotations

import numpy as np

from refmatch.colorimetry.spectrum import Array

LEAST = 6
"""How many values it needs."""

BEYOND: Array = (
    np.array(
        [
            [884.0, -1960.0, 3033.0, -2648.0, 1080.0, -180.0],
            [508.0, -540.0, 488.0, -367.0, 144.0, -24.0],
        ]
    )
    / 209.0
)
"""Two values to set before the first six, the outer one first; mirrored at the other end.

Source: CIE 167:2005, as given by Westland, Ripamonti & Cheung 2012, Computational Colour
Science Using MATLAB, 2nd edition.
"""

POLYNOMIAL: Array = (
    np.array(
        [
            [0.0, 0.0, 24.0, 0.0, 0.0, 0.0],
            [2.0, -16.0, 0.0, 16.0, -2.0, 0.0],
            [-1.0, 16.0, -30.0, 16.0, -1.0, 0.0],
            [-9.0, 39.0, -70.0, 66.0, -33.0, 7.0],
            [13.0, -64.0, 126.0, -124.0, 61.0, -12.0],
            [-5.0, 25.0, -50.0, 50.0, -25.0, 5.0],
        ]
    )
    / 24.0
)
"""Coefficients a0 to a5, a row each, from the values two before to three after.

Source: CIE 167:2005, equations for a0 to a5.
"""


def sprague_weights(positions: Array, count: int) -> Array:
    """Return the matrix that interpolates ``count`` values at fractional ``positions``.

    ``values @ matrix`` has a value for each position, 0 to count - 1; shape
    (count, len(positions)). A quintic through the values whose first and second
    derivatives run on from one interval into the next. Source: CIE 167:2005,
    Recommended practice for tabulating spectral data for use in colour computations.

    Raises:
        ValueError: fewer than six values.
    """
    if count < LEAST:
        raise ValueError(f"Sprague's interpolation needs {LEAST} values, not {count}.")
    padded = np.zeros((count + 4, count))
    padded[2:-2] = np.eye(count)
    padded[:2, :LEAST] = BEYOND
    padded[-2:, -LEAST:] = BEYOND[::-1, ::-1]
    start = np.clip(np.floor(positions).astype(int), 0, count - 2)
    powers = (positions - start)[:, None] ** np.arange(6)
    local = powers @ POLYNOMIAL
    around = padded[start[:, None] + np.arange(6)]
    return np.einsum("pk,pkc->cp", local, around)
