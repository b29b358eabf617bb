"""What photos hold for a calibration, however it was found."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from refmatch.card.chart.read import ChartUse
from refmatch.colorimetry.lab import lab_to_xyz
from refmatch.colorimetry.spectrum import BANDS, Array
from refmatch.colorimetry.viewing import PHOTO_WHITE
from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.photo.mask import Sample
from refmatch.swatch.dab import Channels, Known, PhotoDab

CLIPPED_SHARE = 0.02
"""Part of a dab's pixels at an end of the file's scale from which its channel is a bound."""

UNEVEN_COUNTS, LEAST_SIGMA = 0.25, 0.002
"""How much of a dab's unevenness is an error of its mean, and the least error (own choice)."""


@dataclass(frozen=True, eq=False)
class DabsFound:
    """Dabs, their tubes numbered as in the box, and surfaces of known colour beside them.

    ``chart`` are the patches of charts; ``charts`` says of each photo whether one was found.
    """

    dabs: tuple[PhotoDab, ...]
    known: tuple[Known, ...]
    flags: tuple[Flag, ...] = ()
    chart: tuple[Known, ...] = ()
    charts: tuple[ChartUse, ...] = ()

    def painted(self, box: Box) -> tuple[tuple[int, ...], tuple[PhotoDab, ...]]:
        """Return which tubes of the box were painted, and the dabs numbered by those alone."""
        seen = sorted({number for dab in self.dabs for number in dab.tubes})
        anew = {old: new for new, old in enumerate(seen)}
        dabs = (
            replace(dab, tubes=tuple(anew[number] for number in dab.tubes)) for dab in self.dabs
        )
        return tuple(seen), tuple(dabs)


def numbers_of(box: Box) -> dict[str, int]:
    """Return the number of each tube, by name."""
    return {tube.name: number for number, tube in enumerate(box.tubes)}


def grey_of(lstar: float) -> Array:
    """Return the reflectance, (31,), of a card that is grey in every band."""
    y = lab_to_xyz(np.array([lstar, 0.0, 0.0]), PHOTO_WHITE)[1] / PHOTO_WHITE[1]
    return np.full(BANDS, float(y))


def at_end(clipped: Array) -> Channels:
    """Say of red, green and blue whether so many of the pixels, (channels,), lie at an end.

    A file of one channel, or of four inks, has its end in all three or in none.
    """
    ends = np.asarray(clipped) >= CLIPPED_SHARE
    if ends.shape != (3,):
        ends = np.full(3, bool(ends.any()))
    red, green, blue = (bool(each) for each in ends)
    return red, green, blue


def error_of(spread: Array) -> Array:
    """Return the error of a place's mean from how uneven it is, (3,) both."""
    return np.hypot(UNEVEN_COUNTS * spread, LEAST_SIGMA)


def light_of(sample: Sample) -> tuple[Array, Array]:
    """Return the mean light of a hole, (3,), white Y = 1, and its error."""
    xyz = lab_to_xyz(sample.lab, PHOTO_WHITE) / PHOTO_WHITE[1]
    texture = np.sqrt(max(float(sample.covariance[0, 0]), 0.0)) / 100.0
    return xyz, error_of(np.full(3, texture) * np.cbrt(np.maximum(xyz, 1e-3)) ** 2 * 3.0)
