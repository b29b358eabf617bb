"""A photo corrected by what in it is known: greys undo the tone curve, a chart the colours.

This looks at no paint: it is how a single dab is read where a chart lies beside it.
"""

from __future__ import annotations

import functools
import json
from collections.abc import Sequence
from dataclasses import dataclass, replace
from importlib.resources import files

import numpy as np

from refmatch.colorimetry.display import SRGB_TO_XYZ, XYZ_TO_SRGB
from refmatch.colorimetry.lab import (
    delta_e_00,
    lab_to_xyz,
    reflectance_to_lab,
    xyz_to_lab,
)
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import ICC_WHITE
from refmatch.dabs.camera import lightness, linear_of
from refmatch.dabs.doubt import PATCH_DOUBT_LSTAR
from refmatch.dabs.spot import Known

GREY_CHROMA = 4.0
"""Patches of less chroma than this in any light are greys (own choice)."""

DARK_WEIGHT = 0.05
"""Patches count by 1 / (Y + this), so that dark ones are not lost beside white (own choice)."""


@functools.cache
def chart_patches() -> Array:
    """Return the reflectance, (24, 31), of a 24-patch chart, row by row, the six greys last.

    Source: averages of thirty charts (BabelColor 2012), as carried by colour-science.
    """
    text = files("refmatch.dabs").joinpath("data/chart_patches.json").read_text("utf-8")
    table = np.array(json.loads(text)["reflectance"])
    table.flags.writeable = False
    return table


@dataclass(frozen=True, eq=False)
class Greys:
    """Curves, one a channel, from the lightness in the photo to that of greys: (k, 3) and (k,)."""

    shown: Array
    true: Array

    @classmethod
    def of(cls, greys: Sequence[Known]) -> Greys:
        """Draw the curves through two or more greys."""
        linear = 100.0 * np.stack([grey.spot.xyz for grey in greys]) @ XYZ_TO_SRGB.T
        true = lightness(np.array([grey.reflectance.mean() for grey in greys]))
        order = np.argsort(true)
        return cls(lightness(linear)[order], true[order])

    def undone(self, xyz: Array) -> Array:
        """Return linear sRGB (..., 3) as light, 0 to 1; beyond the greys curves go on straight."""
        value = lightness(100.0 * xyz @ XYZ_TO_SRGB.T)
        channels = [_through(value[..., c], self.shown[:, c], self.true) for c in range(3)]
        return linear_of(np.stack(channels, axis=-1))


def _through(value: Array, shown: Array, true: Array) -> Array:
    """Interpolate, and go on straight at both ends."""
    low = (true[1] - true[0]) / max(shown[1] - shown[0], 1e-6)
    high = (true[-1] - true[-2]) / max(shown[-1] - shown[-2], 1e-6)
    inside = np.interp(value, shown, true)
    return (
        inside + np.minimum(value - shown[0], 0.0) * low + np.maximum(value - shown[-1], 0.0) * high
    )


def root_polynomial(linear: Array) -> Array:
    """Return the six terms of degree 2, (..., 6): r, g, b and the roots of rg, gb, rb.

    Each doubles when the light doubles, so that a correction made of them holds at any exposure.
    Source: Finlayson, Mackiewicz & Hurlbert 2015, IEEE Transactions on Image Processing 24,
    1460-1470, doi:10.1109/TIP.2015.2405336.
    """
    r, g, b = np.moveaxis(np.maximum(linear, 0.0), -1, 0)
    return np.stack([r, g, b, np.sqrt(r * g), np.sqrt(g * b), np.sqrt(r * b)], axis=-1)


@dataclass(frozen=True, eq=False)
class Correction:
    """A photo's correction by a chart; ``residual`` is the dE00 it misses patches by (mean square).

    ``matrix`` (6, 3) takes the six terms to XYZ, D50, 0 to 100.
    """

    greys: Greys
    matrix: Array
    residual: float

    def lab(self, xyz: Array) -> Array:
        """Return the Lab, (..., 3), of what a photo decodes as ``xyz``."""
        balanced = root_polynomial(self.greys.undone(xyz)) @ self.matrix
        return xyz_to_lab(np.maximum(balanced, 0.0), ICC_WHITE)


def as_known(chart: Sequence[Known]) -> list[Known]:
    """Return patches of a chart, known as well as charts are alike."""
    return [replace(patch, doubt_lstar=PATCH_DOUBT_LSTAR) for patch in chart]


def correction(chart: Sequence[Known]) -> Correction:
    """Return the correction that a chart in the photo gives.

    Patches that are clipped count for nothing.

    Raises:
        ValueError: fewer than two greys or fewer than eight patches are left.
    """
    whole = [patch for patch in chart if not patch.spot.is_clipped]
    greys = [patch for patch in whole if is_grey(patch.reflectance)]
    if len(greys) < 2 or len(whole) < 8:
        raise ValueError("too few patches of the chart are within the photo's scale")
    curve = Greys.of(greys)
    true = reflectance_to_lab(np.stack([patch.reflectance for patch in whole]))
    wanted = lab_to_xyz(true, ICC_WHITE)
    terms = root_polynomial(curve.undone(np.stack([patch.spot.xyz for patch in whole])))
    weight = 1.0 / (wanted[:, 1:2] / 100.0 + DARK_WEIGHT)
    matrix = np.linalg.lstsq(terms * weight, wanted * weight, rcond=None)[0]
    corrected = xyz_to_lab(np.maximum(terms @ matrix, 0.0), ICC_WHITE)
    degrees = max(len(whole) - terms.shape[1], 1)
    residual = float(np.sqrt(np.sum(delta_e_00(corrected, true) ** 2) / degrees))
    return Correction(curve, matrix, residual)


def neutral_lab(greys: Greys, xyz: Array) -> Array:
    """Return the Lab of what a photo decodes as ``xyz``, by greys alone."""
    return xyz_to_lab(np.maximum(greys.undone(xyz) @ SRGB_TO_XYZ.T, 0.0), ICC_WHITE)


def is_grey(reflectance: Array) -> bool:
    """Say whether a patch is grey in any light."""
    lab = reflectance_to_lab(reflectance)
    return bool(np.hypot(lab[1], lab[2]) < GREY_CHROMA)
