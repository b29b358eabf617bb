"""Any instrument's wavelengths brought to the 31 bands.

An instrument's values are taken as they stand where it has the tens of
nanometres, and never averaged: the weights of ASTM E2022 draw a smooth curve
through values at points. Against Lab from the whole 5 nm spectra of a 24-patch
chart this errs by 0.02 dE00 in the mean, averaging over a triangle of 10 nm by
0.05. Other spacings, 20 nm above all, are interpolated (`sprague`).

What lies beyond 400 and 700 nm is seen, if little. It is folded into the end
bands with the weight that eye and D50 give it, so that the Lab of the 31 bands
is that of the whole spectrum; what the instrument did not reach is taken to be
as its last value. Both are the practice of ASTM E308.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.spectrum import BANDS, WAVELENGTHS_NM, Array
from refmatch.flag import Flag
from refmatch.paint.instrument.reading import Place, complaint

# Values between regularly spaced ones: Sprague's interpolation, which CIE 167 recommends.

LEAST = 6
"""How many values it needs."""

BEYOND: Array = (
    np.array(
        [
            [884.0, -1960.0, 3033.0, -2648.0, 1080.0, -180.0],
            [508.0, -540.0, 488.0, -367.0, 144.0, -24.0],
        ]
    )
    / 209.0
)
"""Two values to set before the first six, the outer one first; mirrored at the other end.

Source: CIE 167:2005, as given by Westland, Ripamonti & Cheung 2012, Computational Colour
Science Using MATLAB, 2nd edition.
"""

POLYNOMIAL: Array = (
    np.array(
        [
            [0.0, 0.0, 24.0, 0.0, 0.0, 0.0],
            [2.0, -16.0, 0.0, 16.0, -2.0, 0.0],
            [-1.0, 16.0, -30.0, 16.0, -1.0, 0.0],
            [-9.0, 39.0, -70.0, 66.0, -33.0, 7.0],
            [13.0, -64.0, 126.0, -124.0, 61.0, -12.0],
            [-5.0, 25.0, -50.0, 50.0, -25.0, 5.0],
        ]
    )
    / 24.0
)
"""Coefficients a0 to a5, a row each, from the values two before to three after.

Source: CIE 167:2005, equations for a0 to a5.
"""


def sprague_weights(positions: Array, count: int) -> Array:
    """Return the matrix that interpolates ``count`` values at fractional ``positions``.

    ``values @ matrix`` has a value for each position, 0 to count - 1; shape
    (count, len(positions)). A quintic through the values whose first and second
    derivatives run on from one interval into the next. Source: CIE 167:2005,
    Recommended practice for tabulating spectral data for use in colour computations.

    Raises:
        ValueError: fewer than six values.
    """
    if count < LEAST:
        raise ValueError(f"Sprague's interpolation needs {LEAST} values, not {count}.")
    padded = np.zeros((count + 4, count))
    padded[2:-2] = np.eye(count)
    padded[:2, :LEAST] = BEYOND
    padded[-2:, -LEAST:] = BEYOND[::-1, ::-1]
    start = np.clip(np.floor(positions).astype(int), 0, count - 2)
    powers = (positions - start)[:, None] ** np.arange(6)
    local = powers @ POLYNOMIAL
    around = padded[start[:, None] + np.arange(6)]
    return np.einsum("pk,pkc->cp", local, around)


FIRST_SEEN_NM, LAST_SEEN_NM = 360.0, 780.0
STEP_NM = 10.0

MOST_STEP_NM = 20.0
"""The widest spacing that still follows a paint's curve (ASTM E308 has tables to 20 nm)."""

MOST_MISSING_NM = 20.0
"""How far an instrument may fall short of 400 or 700 nm: on the 24-patch chart that costs
at most 0.4 dE00 under D50 and 0.6 under any light of the tool."""

SHORT_END: Array = np.array([0.000732, 0.006139, 0.015428, 0.069668, 0.344998])
LONG_END: Array = np.array(
    [0.131932, 0.068023, 0.030144, 0.015771, 0.008099, 0.003348, 0.001318, 0.000919, 0.0002]
)
"""What eye and light give to 360-400 and to 700-780 nm in steps of 10: X + Y + Z of the
ASTM E2022 weights for D50 and the CIE 1931 observer."""


@dataclass(frozen=True, eq=False)
class Grid:
    """How to bring spectra on some wavelengths to the 31 bands.

    ``wavelengths_nm`` has shape (n,); ``to_tens`` (n, m) carries values to
    ``tens_nm`` (m,), and ``fold`` (m, 31) those to the bands.
    """

    wavelengths_nm: Array
    tens_nm: Array
    to_tens: Array
    fold: Array
    flags: tuple[Flag, ...]

    def bands(self, reflectance: Array) -> Array:
        """Return reflectance, (n,), on the 31 bands, (31,); never below zero.

        Where a smooth curve would swing below zero at the foot of a steep edge,
        a straight line is drawn instead.
        """
        tens = reflectance @ self.to_tens
        straight = np.interp(self.tens_nm, self.wavelengths_nm, reflectance)
        return np.where(tens < 0.0, straight, tens) @ self.fold


def grid(wavelengths_nm: Array, place: Place) -> Grid:
    """Return how to bring these wavelengths, ascending, to the 31 bands.

    Args:
        wavelengths_nm: shape (n,).
        place: where they stand, for a complaint.

    Raises:
        MeasurementError: they are not evenly spaced, lie more than 20 nm apart, or
            leave out more than 20 nm at an end of 400 to 700 nm.
    """
    nm = np.asarray(wavelengths_nm, dtype=float)
    step = _step(nm, place)
    first, last = float(nm[0]), float(nm[-1])
    low, high = float(WAVELENGTHS_NM[0]), float(WAVELENGTHS_NM[-1])
    if first > low + MOST_MISSING_NM or last < high - MOST_MISSING_NM:
        raise complaint(
            "spectra_too_short",
            place,
            first_nm=first,
            last_nm=last,
            from_nm=low + MOST_MISSING_NM,
            to_nm=high - MOST_MISSING_NM,
        )
    start = max(np.ceil((first - 1e-6) / STEP_NM) * STEP_NM, FIRST_SEEN_NM)
    end = min(np.floor((last + 1e-6) / STEP_NM) * STEP_NM, LAST_SEEN_NM)
    tens = np.arange(start, end + 1.0, STEP_NM)
    return Grid(
        wavelengths_nm=first + step * np.arange(len(nm)),
        tens_nm=tens,
        to_tens=_to_tens((tens - first) / step, len(nm)),
        fold=_fold(tens),
        flags=_flags(tens),
    )


def _step(nm: Array, place: Place) -> float:
    """Return the spacing, or refuse one that is uneven or too wide."""
    if len(nm) < 2:
        raise complaint("too_few_wavelengths", place)
    if np.abs(nm).max() > 1e5:
        raise complaint("not_nanometres", place, wavelength=float(np.abs(nm).max()))
    step = float(nm[-1] - nm[0]) / (len(nm) - 1)
    even = nm[0] + step * np.arange(len(nm))
    off = np.abs(nm - even)
    # instruments round 3.33 nm to a whole or a tenth of a nanometre
    if step < 0.5 or off.max() > min(0.51, 0.2 * step):
        wrong = float(nm[int(np.argmax(off))])
        raise complaint("wavelengths_uneven", place, nm=wrong)
    if step > MOST_STEP_NM + 1e-6:
        raise complaint("wavelengths_too_far_apart", place, step_nm=step, most_nm=MOST_STEP_NM)
    return step


def _to_tens(positions: Array, count: int) -> Array:
    """Return the matrix to the tens: the values themselves where they are there."""
    nearest = np.rint(positions)
    if np.abs(positions - nearest).max() < 1e-6:
        return np.eye(count)[:, nearest.astype(int)]
    return sprague_weights(positions, count)


def _fold(tens: Array) -> Array:
    """Return the matrix from the tens, (m,), to the bands: means at the ends, (m, 31)."""
    wavelengths = np.arange(FIRST_SEEN_NM, LAST_SEEN_NM + 1.0, STEP_NM)
    weight = np.concatenate([SHORT_END, np.ones(len(wavelengths) - 14), LONG_END])
    into = np.rint((tens - WAVELENGTHS_NM[0]) / STEP_NM).astype(int)
    matrix = np.zeros((len(tens), BANDS))
    for row, ten in enumerate(tens):
        matrix[row, np.clip(into[row], 0, BANDS - 1)] = weight[wavelengths == ten].item()
    if into[0] <= 0:
        matrix[0, 0] = weight[wavelengths <= tens[0]].sum()
    if into[-1] >= BANDS - 1:
        matrix[-1, -1] = weight[wavelengths >= tens[-1]].sum()
    matrix[0, : max(into[0], 0)] = 1.0
    matrix[-1, into[-1] + 1 :] = 1.0
    return matrix / matrix.sum(axis=0)


def _flags(tens: Array) -> tuple[Flag, ...]:
    if tens[0] <= WAVELENGTHS_NM[0] and tens[-1] >= WAVELENGTHS_NM[-1]:
        return ()
    return (Flag("ends_extended", first_nm=float(tens[0]), last_nm=float(tens[-1])),)
