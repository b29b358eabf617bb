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


Place = Flag
"""Where in a file something stands: by its name and values, as a caution is."""


def complaint(name: str, place: Place, /, **values: object) -> MeasurementError:
    """Return an error that says where the trouble stands, and what it is.

    Whatever of a damaged file cannot be printed is replaced.
    """
    printable = {key: _printable(value) for key, value in values.items()}
    return MeasurementError(name, place=place, **printable)


def in_file(where: str) -> Place:
    """Return the place of a complaint about a whole file."""
    return Flag("in_file", where=_printable(where))


def at_line(line: int, where: str) -> Place:
    """Return the place of a complaint in a text file."""
    return Flag("at_line", line=line, where=_printable(where))


def at_object(item: str, where: str) -> Place:
    """Return the place of a complaint in a file of objects, which have names and no lines."""
    return Flag("at_object", item=_printable(item), where=_printable(where))


def _printable(value: object) -> object:
    if isinstance(value, str):
        return "".join(letter if letter.isprintable() else "�" for letter in value)
    return tuple(_printable(item) for item in value) if isinstance(value, tuple) else value
