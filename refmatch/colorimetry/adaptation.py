"""What a colour becomes when the eye has settled to another light."""

from __future__ import annotations

import numpy as np

from refmatch.colorimetry.spectrum import Array

BRADFORD: Array = np.array(
    [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]]
)
"""XYZ to the sharpened cones of Bradford (Lam 1985; ICC.1:2022, annex E)."""


def adaptation(white_from: Array, white_to: Array) -> Array:
    """Return the 3 x 3 matrix that carries XYZ from one white to another, whole adaptation.

    ``matrix @ white_from`` equals ``white_to``. Source: ICC.1:2022, annex E (Bradford).
    """
    gain = (BRADFORD @ white_to) / (BRADFORD @ white_from)
    return np.linalg.solve(BRADFORD, gain[:, None] * BRADFORD)
