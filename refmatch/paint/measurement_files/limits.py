"""What every reader asks of the values it found: what an instrument can have seen."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from refmatch.colorimetry.lab import xyz_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import viewing
from refmatch.flag import Flag
from refmatch.paint.measurement_files.model import OBSERVERS, Place, complaint

MOST_REFLECTANCE = 1.5
"""Above a perfect white by more than fluorescence and a wrong white tile explain."""

LEAST_REFLECTANCE = -0.01
"""Below zero by more than the noise and the black trap of an instrument explain."""

WHITES = ("D50", "D65", "A", "LED-B3")
"""Illuminants whose white is tabulated, for the CIE 1931 observer."""


def checked_spectrum(reflectance: Array, wavelengths_nm: Array, place: Place) -> Array:
    """Return reflectance (n,), what lies a little below zero set to zero.

    Raises:
        MeasurementError: a value below -0.01 or above 1.5.
    """
    wrong = (reflectance < LEAST_REFLECTANCE) | (reflectance > MOST_REFLECTANCE)
    if wrong.any():
        at = int(np.argmax(wrong))
        raise complaint(
            "reflectance_impossible",
            place,
            reflectance=float(reflectance[at]),
            nm=float(wavelengths_nm[at]),
        )
    return np.maximum(reflectance, 0.0)


def checked_lab(lab: Array, place: Place) -> Array:
    """Return Lab (3,) as it is.

    Raises:
        MeasurementError: no surface has such a Lab.
    """
    if not -0.5 <= lab[0] <= 105.0 or np.abs(lab[1:]).max() > 200.0:
        raise complaint("lab_impossible", place, lab=tuple(lab.tolist()))
    return lab


def lab_of_xyz(xyz: Array, illuminant: str, observer: str, place: Place) -> Array:
    """Return the Lab of XYZ (3,), Y = 100 for a perfect white, against the stated light's white.

    D50 and 2 degrees are assumed where the file does not say.

    Raises:
        MeasurementError: XYZ below zero, or under a light whose white is not known here.
    """
    if xyz.min() < 0.0 or xyz[1] > 105.0:
        raise complaint("xyz_impossible", place, xyz=tuple(xyz.tolist()))
    if (illuminant or "D50") not in WHITES or (observer or OBSERVERS["2"]) != OBSERVERS["2"]:
        raise complaint(
            "xyz_under_other_light",
            place,
            illuminant=illuminant,
            observer=observer or OBSERVERS["2"],
        )
    return checked_lab(xyz_to_lab(xyz, viewing(illuminant or "D50").white), place)


def below_zero_flags(names: Sequence[str]) -> tuple[Flag, ...]:
    """Return a caution naming the samples that fell below zero, if any did."""
    if not names:
        return ()
    return (Flag("below_zero", names=tuple(names)),)
