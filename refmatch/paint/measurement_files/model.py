"""What a measurement file says: readings of samples, and under which conditions they hold."""

from __future__ import annotations

from dataclasses import dataclass

from refmatch.colorimetry.spectrum import Array
from refmatch.errors import MeasurementError
from refmatch.flag import Flag


@dataclass(frozen=True, eq=False)
class Reading:
    """One sample as an instrument saw it: its spectrum, its Lab, or both.

    ``reflectance`` has shape (31,), 0 to 1 of a perfect white, on the bands of
    `colorimetry.spectrum`; ``lab`` has shape (3,), under the file's own viewing
    condition. ``line`` is where it stands in a text file; None in one without lines.
    """

    sample_id: str
    reflectance: Array | None
    lab: Array | None
    line: int | None = None
    name: str = ""


@dataclass(frozen=True, eq=False)
class Measurements:
    """All readings of a file, and what the file states of how they were made.

    Each word is empty where the file does not say: ``illuminant`` such as "D50";
    ``observer`` "CIE 1931 2 degrees" or "CIE 1964 10 degrees"; ``specular``
    "included" or "excluded" (a 45/0 geometry excludes it). Illuminant and
    observer concern ``lab`` alone: a spectrum needs neither.
    """

    readings: tuple[Reading, ...]
    illuminant: str = ""
    observer: str = ""
    specular: str = ""
    flags: tuple[Flag, ...] = ()


OBSERVERS = {"2": "CIE 1931 2 degrees", "10": "CIE 1964 10 degrees"}
"""The two standard observers by the degrees of their field (CIE 015:2018)."""


def complaint(place: str, what: str) -> MeasurementError:
    """Return an error whose one sentence says where the trouble stands, and what it is.

    ``place`` is such as "Line 14 of 'swatches.txt'". Whatever of a damaged file
    cannot be printed is replaced.
    """
    sentence = f"{place} {what}"
    return MeasurementError("".join(each if each.isprintable() else "�" for each in sentence))


def at_line(line: int, where: str) -> str:
    """Return the place of a complaint in a text file."""
    return f"Line {line} of '{where}'"


def listed(names: list[str], most: int = 6) -> str:
    """Return names for a sentence, the first few and how many more."""
    shown = ", ".join(names[:most])
    return f"{shown} and {len(names) - most} more" if len(names) > most else shown
