"""What is written beside the photo: the tubes' true curves, and what was truly mixed."""

from __future__ import annotations

from typing import Any

import cv2
import numpy as np

from refmatch.colorimetry.lab import reflectance_to_lab
from refmatch.colorimetry.spectrum import WAVELENGTHS_NM, Array

from . import painter, phone

MEANS = (
    "tubes: absorption K and scattering S of each invented tube for 31 bands, the white's "
    "scattering being 1; mixtures of them by volume, taken as opaque under a skin of k1 and k2, "
    "specular excluded, are the true colours. dabs: parts is what was truly mixed, of each tube; "
    "lab is the colour of that paint where it hides, D50, CIE 1931 2 degrees."
)


def record(size: tuple[int, int], light: str) -> dict[str, Any]:
    """Return the JSON of the photo; keys in reading order."""
    studio = painter.studio()
    return {
        "image": "calibration-card.jpg",
        "scene": "The painted calibration card of eight tubes on a wooden table.",
        "size_px": list(size),
        "light": light,
        "truth": MEANS,
        "viewing": {"illuminant": "D50", "observer": "CIE 1931 2 degrees"},
        "saunderson": {"k1": studio.breaks.k1, "k2": studio.breaks.k2},
        "wavelengths_nm": [int(nm) for nm in WAVELENGTHS_NM],
        "tubes": [
            {
                "name": tube.name,
                "absorption": _rounded(absorption),
                "scattering": _rounded(scattering),
            }
            for tube, absorption, scattering in zip(
                studio.tubes, studio.absorption, studio.scattering, strict=True
            )
        ],
        "dabs": _dabs(),
        "coordinates": "pixels of the photo; (0, 0) is its top left corner",
        "made_by": "python -m sample_images.render.calibration",
    }


def _dabs() -> list[dict[str, Any]]:
    card, names = painter.card(), [tube.name for tube in painter.box().tubes]
    dabs = []
    for window in card.windows:
        centre = cv2.perspectiveTransform(
            window.place.centre_mm[None, None], phone.matrix_of(card)
        )[0, 0]
        parts = painter.mixed()[window.label]
        used = {name: round(float(part), 4) for name, part in zip(names, parts, strict=True)}
        dabs.append(
            {
                "label": window.label,
                "x_px": round(float(centre[0]), 1),
                "y_px": round(float(centre[1]), 1),
                "parts": {name: part for name, part in used.items() if part},
                "lab": [round(float(v), 2) for v in reflectance_to_lab(painter.hiding(window))],
            }
        )
    return dabs


def _rounded(curve: Array) -> list[float]:
    return [float(f"{value:.5g}") for value in np.asarray(curve)]
