"""What lies around the paint, as reflectances on refmatch's grid; none is a measurement."""

from __future__ import annotations

import numpy as np

from refmatch.colorimetry.spectrum import WAVELENGTHS_NM, Array
from tests.virtual_studio.camera import grey


def edge(centre_nm: float, width_nm: float, low: float, high: float) -> Array:
    """Return a rise from ``low`` to ``high`` about ``centre_nm``."""
    return low + (high - low) / (1.0 + np.exp((centre_nm - WAVELENGTHS_NM) / width_nm))


def surroundings(grey_lstar: float) -> dict[str, Array]:
    """Return the card's paper, its ink, the grey card, canvas, tape and wood by name."""
    brightened = 0.03 * np.exp(-0.5 * ((WAVELENGTHS_NM - 445.0) / 18.0) ** 2)
    return {
        "paper": edge(405.0, 6.0, 0.50, 0.86) + brightened,
        "ink": edge(600.0, 60.0, 0.030, 0.036),
        "grey card": grey(grey_lstar),
        "canvas": edge(415.0, 12.0, 0.48, 0.83),
        "tape": edge(480.0, 45.0, 0.42, 0.70),
        "dark wood": edge(590.0, 55.0, 0.022, 0.105),
        "middle wood": edge(585.0, 60.0, 0.075, 0.30),
        "light wood": edge(570.0, 65.0, 0.15, 0.47),
    }
