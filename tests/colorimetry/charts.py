"""Published colours to hold the words against, as D50 Lab."""

from __future__ import annotations

import functools
import runpy
import warnings
from pathlib import Path
from typing import NamedTuple

import numpy as np

from refmatch.colorimetry.lab import reflectance_to_lab

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # colour-science warns of plotting libraries we do not need
    import colour

DERIVATION = Path(__file__).parents[2] / "docs" / "derivations" / "munsell_hues.py"

PATCHES = "BabelColor Average"
"""Reflectances of the 24-patch chart, the mean of many charts, by the patches' own names."""

PAINTS = {
    "cerulean blue 1:1": (65, -11, -30),
    "diarylide yellow": (77, 29, 105),
    "dioxazine purple 1:1": (34, 26, -42),
    "dioxazine purple 1:9": (61, 18, -33),
    "Hansa yellow": (86, 7, 111),
    "permanent green light": (40, -65, 21),
    "phthalo green": (13, -10, -13),
    "pyrrole red": (40, 71, 56),
    "quinacridone crimson 1:1": (49, 46, 4),
    "red oxide": (34, 40, 38),
    "ultramarine blue 1:1": (54, 5, -51),
    "ultramarine blue": (6, 22, -39),
    "yellow ochre": (56, 19, 52),
    "burnt sienna": (26, 28, 26),
    "burnt umber": (13, 11, 14),
    "azo green gold": (45, -15, 51),
    "titanium white": (96, 0, 1),
    "carbon black": (14, 0, 0),
}
"""Lab (D50, 2 degrees) of opaque gloss films, computed from the K and S in Okumura 2005,
MS thesis, Rochester Institute of Technology; 1:1 is in titanium white."""


class Renotation(NamedTuple):
    """The real colours of the Munsell renotation: hue 0 to 100, value, chroma, D50 Lab."""

    hue: np.ndarray
    value: np.ndarray
    chroma: np.ndarray
    lab: np.ndarray


def paint(name: str) -> np.ndarray:
    return np.array(PAINTS[name], dtype=float)


@functools.cache
def patch_reflectances() -> dict[str, np.ndarray]:
    """Return the 24 patches' reflectance on the 31 bands, by name."""
    shape = colour.SpectralShape(400, 700, 10)
    chart = colour.SDS_COLOURCHECKERS[PATCHES]
    return {name: spectrum.copy().align(shape).values for name, spectrum in chart.items()}


def xyz_by_colour_science(reflectance, illuminant: str) -> np.ndarray:
    """Return XYZ, Y = 100 for a perfect reflector, by ASTM E308; 31 bands or a spectrum."""
    if isinstance(reflectance, np.ndarray):
        bands = colour.SpectralShape(400, 700, 10)
        reflectance = colour.SpectralDistribution(reflectance, bands)
    range_of_e308 = colour.SpectralShape(360, 780, 1)
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(range_of_e308)
    light = colour.SDS_ILLUMINANTS[illuminant].copy().align(range_of_e308)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it warns that it cuts its own tables to its own range
        return colour.sd_to_XYZ(reflectance, observer, light, method="ASTM E308")


def patch(name: str) -> np.ndarray:
    return reflectance_to_lab(patch_reflectances()[name])


@functools.cache
def renotation() -> Renotation:
    rows = runpy.run_path(str(DERIVATION))["renotation"]()
    hue, value, chroma, lab = zip(*rows, strict=True)
    return Renotation(np.array(hue), np.array(value), np.array(chroma), np.array(lab))
