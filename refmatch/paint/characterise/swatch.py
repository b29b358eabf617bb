"""A swatch: parts of tubes that were mixed, and the reflectance that was measured of them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.spectrum import Array

LEAST_SEEN = 3e-4
"""Reflectance below this is the instrument's own darkness."""


DARK = 0.06
"""Reflectance below which a swatch with the specular included tells k1."""

LAB_NOISE = 0.3
"""Standard error of each of L*, a*, b* where an instrument tells only these (own choice)."""


@dataclass(frozen=True, eq=False)
class Swatch:
    """A measured mixture, or one tube alone.

    ``lab`` (3,) stands for the reflectance where no spectrum was measured; ``reflectance``
    is then what was presumed, and is not looked at; ``lab_noise`` is the error of each of Lab.
    ``tubes`` are numbers in the row of tubes that is characterised, ``parts`` as
    mixed, of any sum. ``reflectance`` (31,) is as measured; ``f`` the share of the
    skin's own reflection in it: 0 where the specular is excluded from a glossy
    swatch, 1 where it is included or the swatch is matt. ``hand`` is the relative
    error of each part, ``noise`` the instrument's error in reflectance.
    """

    label: str
    tubes: tuple[int, ...]
    parts: tuple[float, ...]
    reflectance: Array
    f: float = 0.0
    hand: float = 0.02
    noise: float = 0.002
    lab: Array | None = None
    lab_noise: float = LAB_NOISE


def hiding_reflectance(
    over_white: Array, over_black: Array, white: Array, black: Array
) -> tuple[Array, Array]:
    """Return what a film would reflect if it hid its ground, and how far it fails to, both (31,).

    All are inner reflectances. Kubelka's film over a ground Rg obeys
    a (R + Rg) + u (R - Rg) = 1 + R Rg, with a = 1 + K/S and u = b coth bSX: two grounds
    give both. The second value is the difference of the two films. Source: Kubelka
    1948, JOSA 38, 448-457, doi:10.1364/JOSA.38.000448.
    """
    matrix = np.stack(
        [
            np.stack([over_white + white, over_white - white], axis=-1),
            np.stack([over_black + black, over_black - black], axis=-1),
        ],
        axis=-2,
    )
    right = np.stack([1.0 + over_white * white, 1.0 + over_black * black], axis=-1)
    a = np.maximum(np.linalg.solve(matrix, right[..., None])[..., 0, 0], 1.0 + 1e-9)
    return a - np.sqrt(a * a - 1.0), over_white - over_black
