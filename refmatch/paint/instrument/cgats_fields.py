"""Which field of a CGATS.17 table says what.

The standard names SAMPLE_ID, SAMPLE_NAME, XYZ_X, LAB_L and so on, and for spectra
the pair SPECTRAL_NM with SPECTRAL_PCT (percent) or SPECTRAL_DEC (fractions of 1),
repeated for each wavelength. Most files put the wavelength into the name instead.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.flag import Flag
from refmatch.paint.instrument.reading import MOST_REFLECTANCE, Place, complaint

AT_WAVELENGTH = re.compile(
    r"(?:SPECTRAL_(?:NM|PCT|DEC)|SPECTRAL|SPEC|NM|R)_?(\d{3,4}(?:\.\d+)?)(?:_?NM)?", re.ASCII
)
"""A field that is the reflectance at a wavelength: SPECTRAL_NM380, NM_380, nm380, R_380 ..."""

PERCENT, FRACTION = "SPECTRAL_PCT", "SPECTRAL_DEC"

IDS = ("SAMPLE_ID", "SAMPLEID")
NAMES = ("SAMPLE_NAME", "SAMPLENAME")
LAB = ("LAB_L", "LAB_A", "LAB_B")
XYZ = ("XYZ_X", "XYZ_Y", "XYZ_Z")


@dataclass(frozen=True)
class Columns:
    """Where in a row each thing stands; None or empty for what the table does not hold.

    ``wavelengths_nm`` and ``spectrum`` go together, in ascending order. Where the
    rows themselves say the wavelengths, ``wavelength_columns`` stands beside
    ``spectrum`` instead. ``scale`` is PERCENT, FRACTION, or empty: not named.
    """

    sample_id: int | None
    name: int | None
    wavelengths_nm: tuple[float, ...]
    wavelength_columns: tuple[int, ...]
    spectrum: tuple[int, ...]
    scale: str
    lab: tuple[int, ...]
    xyz: tuple[int, ...]


def columns(fields: tuple[str, ...], place: Place) -> Columns:
    """Return where things stand in the rows of a table with these fields.

    Raises:
        MeasurementError: no sample is named, a field stands twice, or there is no
            colour in them.
    """
    upper = [field.upper() for field in fields]
    sample_id, name = _first(upper, IDS), _first(upper, NAMES)
    if sample_id is None and name is None:
        raise complaint("samples_not_told_apart", place)
    at = sorted(
        (float(match[1]), column)
        for column, field in enumerate(upper)
        if (match := AT_WAVELENGTH.fullmatch(field))
    )
    paired, values = _pairs(upper, place)
    if at and paired:
        raise complaint("wavelengths_in_two_ways", place)
    nm = [wavelength for wavelength, _ in at]
    if len(set(nm)) < len(nm):
        twice = next(band for band in nm if nm.count(band) > 1)
        raise complaint("wavelength_twice", place, nm=twice)
    lab, xyz = _triple(upper, LAB, place), _triple(upper, XYZ, place)
    if not (at or paired or lab or xyz):
        raise complaint("fields_without_colour", place)
    return Columns(
        sample_id=sample_id,
        name=name,
        wavelengths_nm=tuple(nm),
        wavelength_columns=paired,
        spectrum=values or tuple(column for _, column in at),
        scale=_scale(upper, place),
        lab=lab,
        xyz=xyz,
    )


def _first(upper: list[str], wanted: tuple[str, ...]) -> int | None:
    return next((upper.index(field) for field in wanted if field in upper), None)


def _pairs(upper: list[str], place: Place) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Return the columns of repeated SPECTRAL_NM, and of the values beside them."""
    nm = tuple(column for column, field in enumerate(upper) if field == "SPECTRAL_NM")
    values = tuple(column for column, field in enumerate(upper) if field in (PERCENT, FRACTION))
    if len(nm) != len(values):
        raise complaint(
            "wavelengths_without_values", place, wavelengths=len(nm), values=len(values)
        )
    return nm, values


def _triple(upper: list[str], wanted: tuple[str, str, str], place: Place) -> tuple[int, ...]:
    counts = [upper.count(field) for field in wanted]
    if counts == [0, 0, 0]:
        return ()
    if counts != [1, 1, 1]:
        wrong = next(field for field, count in zip(wanted, counts, strict=True) if count != 1)
        raise complaint(
            "field_of_three_wrong", place, field=wrong, fields=wanted, is_missing=wrong not in upper
        )
    return tuple(upper.index(field) for field in wanted)


def _scale(upper: list[str], place: Place) -> str:
    """Return the scale that the names of the fields give: PERCENT, FRACTION or none."""
    named = {key for key in (PERCENT, FRACTION) if any(field.startswith(key) for field in upper)}
    if len(named) > 1:
        raise complaint("two_scales_named", place)
    return named.pop() if named else ""


# The scale that reflectances are written on.

PERCENT_FROM = 5.0
"""A table whose largest value is above this is in percent: 5 is no fraction at all, and a
table in percent that stays below it would hold nothing but blacks."""

LEAST_OF_PAINT = 0.001
"""No paint reflects less than a tenth of a percent (common practice, no source)."""

AS_FRACTIONS = Flag("scale_taken_as_fractions")


def scale_factor(spectra: Array, named: str, place: Place) -> float:
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


def scale_flags(spectra: Array, named: str) -> tuple[Flag, ...]:
    """Return a caution where values read as fractions could also be percent of blacks."""
    doubtful = not named and np.max(spectra) <= MOST_REFLECTANCE
    return (AS_FRACTIONS,) if doubtful and np.min(spectra) >= 100.0 * LEAST_OF_PAINT else ()
