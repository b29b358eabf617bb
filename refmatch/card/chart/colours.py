"""Is it the chart, and which way round does it lie? Its colours tell.

Seen and known colours are compared on the lightness scale of CIELAB, channel by channel of linear
sRGB. There another exposure, white balance or contrast is a straight line, and light that falls
off is a slope across the chart.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.display import SRGB_TO_XYZ, XYZ_TO_SRGB
from refmatch.colorimetry.lab import lab_to_xyz, reflectance_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import ICC_WHITE
from refmatch.swatch.chart import chart_patches
from refmatch.swatch.tone import lightness, linear_of

COLUMNS, ROWS = 6, 4
BLACK_LIFT = 0.16
"""Lightness is a cube root less this: a gain multiplies what lies above it."""

FEWEST_ALIKE = 16
"""Patches that must agree: the others may be covered, in shade or blown out."""

LEAST_SHARE = 0.88
"""Of the colours' variance, explained; 24 other colours in a grid reach 0.5 (see accuracy.md)."""

CONTRAST = (0.35, 2.5)
"""Within which the line's steepness must lie, in each channel."""


@dataclass(frozen=True, eq=False)
class Likeness:
    """How well 24 colours are those of the chart.

    ``share`` of the variance is explained by the patches that agree; ``miss`` (24,) is how far
    each is off, in lightness, 0 to 1, root mean square of the channels; ``slope`` (2,) is how the
    light falls off along columns and rows.
    """

    share: float
    miss: Array
    is_chart: bool
    slope: Array


def places() -> Array:
    """Return column and row of each patch from the chart's middle, (24, 2)."""
    rows, columns = np.divmod(np.arange(COLUMNS * ROWS), COLUMNS)
    return np.stack([columns - (COLUMNS - 1) / 2.0, rows - (ROWS - 1) / 2.0], axis=-1)


@functools.cache
def known_codes() -> Array:
    """Return the lightness, (24, 3), of the chart's patches in each channel."""
    xyz = lab_to_xyz(reflectance_to_lab(chart_patches()), ICC_WHITE)
    codes = lightness(np.maximum(xyz @ XYZ_TO_SRGB.T, 0.0))
    codes.flags.writeable = False
    return codes


def likeness(seen: Array) -> Likeness:
    """Compare lightness seen, (24, 3), with the chart's: least squares, the worst left out.

    What is not a number was not seen.
    """
    known = np.asarray(np.isfinite(seen).all(axis=1))
    if known.sum() < FEWEST_ALIKE:
        return Likeness(0.0, np.full(len(seen), np.inf), False, np.zeros(2))
    wanted, kept = np.where(known[:, None], seen, 0.0), known
    for count in (*range(int(known.sum()), FEWEST_ALIKE, -2), FEWEST_ALIKE):
        rows = np.repeat(kept, 3)
        found = np.linalg.lstsq(_terms()[rows], wanted.ravel()[rows], rcond=None)[0]
        off = wanted - (_terms() @ found).reshape(-1, 3)
        miss = np.where(known, np.sqrt(np.mean(off**2, axis=1)), np.inf)
        kept = np.zeros(len(seen), bool)
        kept[np.argsort(miss)[:count]] = True
    spread = np.sum((seen[kept] - seen[kept].mean(axis=0)) ** 2)
    share = 1.0 - float(3.0 * np.sum(miss[kept] ** 2) / max(spread, 1e-9))
    steep = found[3:6]
    sound = bool((steep > CONTRAST[0]).all() and (steep < CONTRAST[1]).all())
    return Likeness(share, miss, sound and share > LEAST_SHARE, found[6:])


def even_light(xyz: Array, like: Likeness, number: int) -> float:
    """Return by how much the light over one patch makes it brighter than at the chart's middle.

    ``xyz`` (3,) is what the photo decodes it as, white Y = 1; so the factor holds for a surface as
    light as this, whatever the camera's tone curve.
    """
    linear = np.maximum(100.0 * xyz @ XYZ_TO_SRGB.T, 0.0)
    fall = float(like.slope @ places()[number]) / COLUMNS
    even = linear_of(lightness(linear) - fall * (known_codes()[number] + BLACK_LIFT))
    luminance = SRGB_TO_XYZ[1]
    return float(np.clip(luminance @ linear / max(luminance @ even, 1e-6), 0.2, 5.0))


@functools.cache
def _terms() -> Array:
    """Return the straight line of each channel and the slope of the light, (72, 8)."""
    codes = known_codes()
    terms = np.zeros((len(codes), 3, 8))
    for channel in range(3):
        terms[:, channel, channel] = 1.0
        terms[:, channel, 3 + channel] = codes[:, channel]
    terms[:, :, 6:] = (codes + BLACK_LIFT)[..., None] * places()[:, None, :] / COLUMNS
    return terms.reshape(-1, 8)
