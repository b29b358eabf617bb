"""Writes readings as CGATS.17 / ISO 28178 text, which any program of the trade reads."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import groupby

from refmatch.colorimetry.spectrum import WAVELENGTHS_NM
from refmatch.errors import MeasurementError
from refmatch.paint.measurement_files.cgats_fields import LAB
from refmatch.paint.measurement_files.model import Reading

SPECTRUM = tuple(f"SPECTRAL_NM{nm:.0f}" for nm in WAVELENGTHS_NM)


def cgats_text(readings: Sequence[Reading], header: Mapping[str, str] | None = None) -> str:
    """Return readings as the text of a file; read again, they are the same to the last digit.

    Args:
        readings: in the order of the file; those with other columns than the one
            before begin another table.
        header: further keywords, such as WEIGHTING_FUNCTION or MEASUREMENT_GEOMETRY.

    Raises:
        MeasurementError: a reading without a sample_id, or without spectrum and Lab.
    """
    lines = ["CGATS.17", f"ORIGINATOR {_quoted('refmatch')}"]
    lines += [f"{key} {_quoted(value)}" for key, value in (header or {}).items()]
    for (spectral, lab), alike in groupby(readings, key=_columns):
        lines += _table(list(alike), spectral, lab)
    return "\n".join(lines) + "\n"


def _columns(reading: Reading) -> tuple[bool, bool]:
    return reading.reflectance is not None, reading.lab is not None


def _table(readings: list[Reading], spectral: bool, lab: bool) -> list[str]:
    fields = ["SAMPLE_ID", "SAMPLE_NAME", *(SPECTRUM if spectral else ()), *(LAB if lab else ())]
    return [
        f"NUMBER_OF_FIELDS {len(fields)}",
        "BEGIN_DATA_FORMAT",
        "\t".join(fields),
        "END_DATA_FORMAT",
        f"NUMBER_OF_SETS {len(readings)}",
        "BEGIN_DATA",
        *("\t".join(_cells(reading)) for reading in readings),
        "END_DATA",
    ]


def _cells(reading: Reading) -> list[str]:
    values = [each for each in (reading.reflectance, reading.lab) if each is not None]
    if not reading.sample_id.strip() or not values:
        raise MeasurementError("nothing_to_write", sample=reading.sample_id)
    # repr is the shortest text that reads back as the very same number
    numbers = [repr(float(number)) for each in values for number in each]
    return [_quoted(reading.sample_id), _quoted(reading.name), *numbers]


def _quoted(text: str) -> str:
    """Return text as a string of the standard: in quotes, a quote inside written twice."""
    plain = " ".join(text.split())
    return '"' + plain.replace('"', '""') + '"'
