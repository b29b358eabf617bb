"""The object-colour solid: every colour a surface can have under one light.

A surface reflects between nothing and everything in each band, so its XYZ is a
sum of the bands' weights, each taken between 0 and 1 times: a zonotope, whose
faces are spanned by pairs of bands. Being inside is being within every pair of
parallel faces.
"""

from __future__ import annotations

import functools

import numpy as np

from refmatch.colorimetry.lab import lab_to_xyz
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import viewing


def excess(lab: Array, illuminant: str = "D50") -> float:
    """Return how far a colour lies beyond what any surface can have: 1 is the surface.

    The number is the largest ratio of the colour's distance from middle grey to
    that of the solid's face in the same direction; up to 1 some surface can look so.

    Source: Schrodinger 1920, Annalen der Physik 62, 603-622, for the solid;
    McMullen 1971 for the faces of a zonotope.
    """
    seen = viewing(illuminant)
    normals, half_widths = _faces(illuminant)
    from_middle = lab_to_xyz(lab, seen.white) - seen.white / 2.0
    return float(np.max(np.abs(normals @ from_middle) / half_widths))


@functools.cache
def _faces(illuminant: str) -> tuple[Array, Array]:
    """Return the normals (faces, 3) of the solid and its half widths along them."""
    weights = viewing(illuminant).weights
    first, second = np.triu_indices(len(weights), k=1)
    normals = np.cross(weights[first], weights[second])
    length = np.linalg.norm(normals, axis=1)
    normals = normals[length > 1e-9] / length[length > 1e-9, None]
    return normals, np.abs(normals @ weights.T).sum(axis=1) / 2.0
