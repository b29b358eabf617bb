"""Light in a paint film: it is absorbed (K), scattered (S), and reflected at the skin.

Two-constant Kubelka-Munk for the body of the film and Saunderson for its
surface. All functions broadcast; spectra stand on the last axis.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.spectrum import Array


@dataclass(frozen=True, slots=True)
class Surface:
    """The skin of the film: how much light it turns back from outside and from inside.

    ``k1`` is the Fresnel reflection from outside, ``k2`` from inside; ``f`` the
    share of k1 that reaches the eye: 0 for gloss (specular excluded), 0.3 for
    satin, 1 for a sunken matt film or an instrument with the specular included.
    Source of the default pair: Okumura 2005, artists' acrylics (k1 0.0308, k2 0.606).
    """

    k1: float = 0.0308
    k2: float = 0.606
    f: float = 0.0


GLOSS = Surface()
"""A glossy film seen without its shine: what a painter sees."""

SPHERE = Surface(k1=0.04, k2=0.4)
"""The pair for readings that hold the shine, by a sphere. k1 is Fresnel's of n = 1.5; k2 is what
Saunderson found on real films by such readings (1942, from memory), less than the 0.596 of theory,
which takes the light under the skin to be evenly spread. On hand-ground oils it foretells other
loads better than 0.606 (``python -m tests.benchmarks.measured_oils``)."""

FINISHES: dict[str, float] = {"gloss": 0.0, "satin": 0.3, "matt": 1.0}
"""The share f of the skin's own reflection that is seen, by finish (from memory)."""


def k_over_s(reflectance: Array) -> Array:
    """Return K/S of an opaque film from its inner reflectance, 0 < R <= 1.

    Source: Kubelka & Munk 1931, Zeitschrift fur technische Physik 12, 593-601.
    """
    return (1.0 - reflectance) ** 2 / (2.0 * reflectance)


def opaque_reflectance(ratio: Array) -> Array:
    """Return the inner reflectance of an opaque film from q = K/S >= 0; inverse of `k_over_s`.

    R = 1 + q - sqrt(q^2 + 2q), in the form 1 / (1 + q + sqrt(q^2 + 2q)) that
    loses no digits where q is large.
    """
    return 1.0 / (1.0 + ratio + np.sqrt(ratio * (ratio + 2.0)))


def to_measured(reflectance: Array, surface: Surface) -> Array:
    """Carry inner reflectance through the skin to what eye or instrument sees.

    Rm = f k1 + (1 - k1)(1 - k2) R / (1 - k2 R). Source: Saunderson 1942,
    Journal of the Optical Society of America 32, 727-736, doi:10.1364/JOSA.32.000727.
    """
    k1, k2 = surface.k1, surface.k2
    return surface.f * k1 + (1.0 - k1) * (1.0 - k2) * reflectance / (1.0 - k2 * reflectance)


def to_inner(measured: Array, surface: Surface, floor: float = 3e-4) -> Array:
    """Undo the skin: the inverse of `to_measured`, with Rm - f k1 floored at ``floor``."""
    k1, k2 = surface.k1, surface.k2
    body = np.maximum(measured - surface.f * k1, floor)
    return body / ((1.0 - k1) * (1.0 - k2) + k2 * body)


def film_over_ground(
    absorption: Array, scattering: Array, thickness: Array, ground: Array
) -> Array:
    """Return the inner reflectance of a film that need not hide its ground.

    ``thickness`` in the unit whose inverse K and S carry; ``ground`` is the inner
    reflectance below. Source: Kubelka 1948, JOSA 38, 448-457,
    doi:10.1364/JOSA.38.000448.
    """
    a = 1.0 + absorption / scattering
    b = np.sqrt(a * a - 1.0)
    b_coth = b / np.tanh(np.maximum(b * scattering * thickness, 1e-12))
    return (1.0 - ground * (a - b_coth)) / (a - ground + b_coth)
