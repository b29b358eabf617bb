"""How swatches were looked at: what a fit compares its curves with.

A fit makes the reflectance of every swatch; an observation says how far that is from what was
seen, in standard errors, and how that changes with reflectance and with unknowns of its own (a
camera has some, an instrument none).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from refmatch.colorimetry.lab import lab_slopes, xyz_to_lab
from refmatch.colorimetry.spectrum import BANDS, Array
from refmatch.colorimetry.viewing import viewing

# A swatch: parts of tubes that were mixed, and the reflectance that was measured of them.

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


MODEL_ERROR = 0.002
"""What the paint model itself misses in cube roots of reflectance, band by band (own choice)."""


@dataclass(frozen=True, eq=False)
class Look:
    """Misses of n swatches in standard errors, (n, m), and the slopes of what is expected.

    ``by_root`` (n, m, 31) is by the cube root of reflectance, ``by_own`` (n, m, size) by the
    observation's own unknowns. ``aside`` (k,) are misses that hang on no paint, such as a grey
    card's, with their slopes ``aside_by_own`` (k, size).
    """

    miss: Array
    by_root: Array
    by_own: Array
    aside: Array
    aside_by_own: Array


class Observation(Protocol):
    """A way of looking: ``size`` unknowns of its own, each about 0 with standard deviation 1.

    ``rows`` (n,) says how many of the m misses of each swatch are real; the others are 0.
    """

    @property
    def size(self) -> int:
        """The number of its own unknowns."""
        ...

    @property
    def rows(self) -> Array:
        """The real misses of each swatch, (n,)."""
        ...

    def look(self, root: Array, own: Array) -> Look:
        """Compare cube roots of reflectance, (n, 31), with what was seen."""
        ...


class Measured:
    """An instrument's spectra, or where a swatch has none its Lab: three of 31 misses."""

    size = 0

    def __init__(self, swatches: Sequence[Swatch]) -> None:
        measured = np.stack([np.maximum(swatch.reflectance, LEAST_SEEN) for swatch in swatches])
        self.root = np.cbrt(measured)
        noise = np.array([swatch.noise for swatch in swatches])[:, None]
        self.sigma = np.hypot(noise / (3.0 * self.root**2), MODEL_ERROR)
        self.lab = {row: one for row, one in enumerate(swatches) if one.lab is not None}
        self.rows = np.array([BANDS if one.lab is None else 3 for one in swatches])

    def look(self, root: Array, own: Array) -> Look:
        """Compare band by band in the cube root, or in Lab."""
        miss = (self.root - root) / self.sigma
        by_root = np.eye(BANDS) / self.sigma[:, :, None]
        for row, swatch in self.lab.items():
            miss[row], by_root[row] = 0.0, 0.0
            miss[row, :3], by_root[row, :3] = _in_lab(swatch, root[row])
        none = np.zeros((len(root), BANDS, 0))
        return Look(miss, by_root, none, np.zeros(0), np.zeros((0, 0)))


def _in_lab(swatch: Swatch, root: Array) -> tuple[Array, Array]:
    """Return the misses of Lab, (3,), and the slopes (3, 31)."""
    assert swatch.lab is not None
    seen_by = viewing()
    xyz = root**3 @ seen_by.weights
    by_root = lab_slopes(xyz, seen_by.white) @ (3.0 * root**2 * seen_by.weights.T)
    off = swatch.lab - xyz_to_lab(xyz, seen_by.white)
    return off / swatch.lab_noise, by_root / swatch.lab_noise
