"""Whether a table's spectra are fractions of 1 or percent."""

from __future__ import annotations

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.flag import Flag
from refmatch.paint.instrument.cgats_fields import PERCENT
from refmatch.paint.instrument.reading import MOST_REFLECTANCE, Place, complaint

PERCENT_FROM = 5.0
"""A table whose largest value is above this is in percent: 5 is no fraction at all, and a
table in percent that stays below it would hold nothing but blacks."""

LEAST_OF_PAINT = 0.001
"""No paint reflects less than a tenth of a percent (common practice, no source)."""

AS_FRACTIONS = Flag("scale_taken_as_fractions")


def factor(spectra: Array, named: str, place: Place) -> float:
    """Return what to multiply a whole table's spectra (rows, n) with: 1, or 1/100 for percent.

    The fields' own names decide where they name it, else the values of the table.

    Raises:
        MeasurementError: neither decides, or the values contradict the names.
    """
    most, least = float(np.max(spectra)), float(np.min(spectra))
    if named == PERCENT and most <= MOST_REFLECTANCE and least < 100.0 * LEAST_OF_PAINT:
        raise complaint("percent_contradicted", place, most=most)
    if named:
        return 0.01 if named == PERCENT else 1.0
    if MOST_REFLECTANCE < most <= PERCENT_FROM:
        raise complaint("scale_not_stated", place, most=most)
    return 1.0 if most <= MOST_REFLECTANCE else 0.01


def flags(spectra: Array, named: str) -> tuple[Flag, ...]:
    """Return a caution where values read as fractions could also be percent of blacks."""
    doubtful = not named and np.max(spectra) <= MOST_REFLECTANCE
    return (AS_FRACTIONS,) if doubtful and np.min(spectra) >= 100.0 * LEAST_OF_PAINT else ()
