"""Small files for the tests: written by hand in the form of the standards."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from refmatch.colorimetry.spectrum import WAVELENGTHS_NM, Array
from refmatch.paint.instrument import cgats
from refmatch.paint.instrument.reading import Measurements, Reading

STANDARD_FORM = """\
CGATS.17
ORIGINATOR\t"the orchard"
FILE_DESCRIPTOR\t"five papers" # a comment after a value
# a comment of its own
CREATED\t"2026-05-02"
INSTRUMENTATION\t"a spectrophotometer"
MEASUREMENT_SOURCE\t"MeasurementCondition=M0"
MEASUREMENT_GEOMETRY\t"45/0"
WEIGHTING_FUNCTION\t"ILLUMINANT, D50"
WEIGHTING_FUNCTION\t"OBSERVER, 2 degree"
KEYWORD\t"SAMPLE_NAME"
NUMBER_OF_FIELDS\t5
BEGIN_DATA_FORMAT
SAMPLE_ID\tSAMPLE_NAME\tLAB_L\tLAB_A\tLAB_B
END_DATA_FORMAT
NUMBER_OF_SETS\t3
BEGIN_DATA
A1\t"apple green"\t52.10\t-31.40\t40.25
A2\t"garden ""grey"" table"\t61.00\t0.12\t-1.30
A3\tearth\t33.5\t12E0\t+14.75
END_DATA
"""
"""As ISO 28178 lays a file out: identifier, keywords, format, sets (from memory)."""


def read(text: str | bytes, where: str = "orchard.txt") -> Measurements:
    return cgats.read(text.encode() if isinstance(text, str) else text, where)


def table(fields: list[str], rows: list[list[str]], before: str = "", separator: str = "\t") -> str:
    """Return a whole file of one table; its first row stands in line 6, or later by ``before``."""
    return "\n".join(
        [
            "CGATS.17" if not before else f"CGATS.17\n{before}",
            "BEGIN_DATA_FORMAT",
            separator.join(fields),
            "END_DATA_FORMAT",
            "BEGIN_DATA",
            *(separator.join(row) for row in rows),
            "END_DATA\n",
        ]
    )


def spectral_table(
    spectra: dict[str, Array],
    wavelengths_nm: Array,
    field: str = "SPECTRAL_NM{:.0f}",
    digits: int = 17,
) -> str:
    fields = ["SAMPLE_ID", *(field.format(nm) for nm in wavelengths_nm)]
    rows = [[f'"{name}"', *(f"{v:.{digits}g}" for v in s)] for name, s in spectra.items()]
    return table(fields, rows)


def reading(
    name: str, reflectance: Array | None = None, lab: tuple[float, ...] | None = None
) -> Reading:
    return Reading(name, reflectance, None if lab is None else np.array(lab), None, "")


def write(path: Path, text: str) -> Path:
    path.write_bytes(text.encode())
    return path


OURS = WAVELENGTHS_NM
