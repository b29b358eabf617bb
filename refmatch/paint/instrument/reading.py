"""What a measurement file says: readings of samples, and under which conditions they hold."""

from __future__ import annotations

import codecs
import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab, xyz_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import viewing
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


# What every reader asks of the values it found: what an instrument can have seen.

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


# Numbers as people and instruments write them.

WRITTEN = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)([eE][+-]?\d+)?", re.ASCII)


def number(text: str) -> float | None:
    """Return the number written with a decimal point or comma; None where it is no number.

    Stricter than ``float``: no "nan", no "inf", no grouped thousands, and
    nothing too large to hold.
    """
    if not WRITTEN.fullmatch(text):
        return None
    value = float(text.replace(",", "."))
    return value if math.isfinite(value) else None


# From bytes to lines, whichever system and decade the file is from.

LINE_END = re.compile(r"\r\n|\n|\r")
UTF16_BOMS = {codecs.BOM_UTF16_LE: "utf-16-le", codecs.BOM_UTF16_BE: "utf-16-be"}


def decoded(data: bytes) -> str:
    """Return the text of a file in UTF-8, UTF-16 or Latin-1, with or without a mark.

    Without a mark: UTF-16 where every other byte is mostly zero (ASCII in two
    bytes each), UTF-8 where the bytes allow it, else Latin-1, which always can.
    """
    text = data.decode(_encoding(data), errors="replace")
    return text.removeprefix("\ufeff")


def lines(text: str) -> list[str]:
    """Return the lines of a text with Windows, Unix or old Macintosh ends.

    Only these end a line: `str.splitlines` would also break at form feeds and
    at Latin-1's control characters, and the line numbers would be wrong.
    """
    return LINE_END.split(text)


def _encoding(data: bytes) -> str:
    for mark, encoding in UTF16_BOMS.items():
        if data.startswith(mark):
            return encoding
    head = data[:2000]
    for encoding, zeros in (("utf-16-le", head[1::2]), ("utf-16-be", head[0::2])):
        if len(zeros) > 10 and zeros.count(0) > 0.7 * len(zeros):
            return encoding
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return "latin-1"
    return "utf-8"


# Readings of one sample, gathered.

MOST_APART = 2.0
"""dE00 between a file's Lab and its spectra that tables and rounding cannot explain: with
the weights of ASTM E308's table 5 it is 0.2 at most (see the tests)."""


def gathered(measurements: Measurements, where: str) -> Measurements:
    """Return the measurements with each sample once and each flag once.

    A sample with its spectrum in one table and its Lab in another becomes one reading.

    Raises:
        MeasurementError: a sample is measured twice.
    """
    readings: dict[str, Reading] = {}
    for reading in measurements.readings:
        before = readings.get(reading.sample_id)
        readings[reading.sample_id] = reading if before is None else _joined(before, reading, where)
    whole = tuple(readings.values())
    joined = replace(measurements, readings=whole)
    flags = (*measurements.flags, *_viewing_flags(joined), *_disagreement(joined))
    return replace(joined, flags=_once(flags))


def _joined(one: Reading, other: Reading, where: str) -> Reading:
    first, second = (one, other) if one.reflectance is not None else (other, one)
    complete = first.lab is None and second.reflectance is None
    if first.reflectance is None or not complete:
        place = in_file(where) if other.line is None else at_line(other.line, where)
        raise complaint("sample_measured_twice", place, sample=other.sample_id, first_line=one.line)
    return replace(one, reflectance=first.reflectance, lab=second.lab, name=one.name or other.name)


def _viewing_flags(measurements: Measurements) -> tuple[Flag, ...]:
    """Return cautions about Lab that stands alone under another light, or an unstated one."""
    alone = [reading.sample_id for reading in measurements.readings if reading.reflectance is None]
    if not alone:
        return ()
    if not measurements.illuminant or not measurements.observer:
        return (Flag("viewing_not_stated", names=tuple(alone)),)
    if (measurements.illuminant, measurements.observer) == ("D50", OBSERVERS["2"]):
        return ()
    return (
        Flag(
            "other_viewing",
            names=tuple(alone),
            illuminant=measurements.illuminant,
            observer=measurements.observer,
            ours=OBSERVERS["2"],
        ),
    )


def _disagreement(measurements: Measurements) -> tuple[Flag, ...]:
    """Return a caution where a file's Lab is not that of its own spectra.

    One of the two is then not what the file says: another scale, other
    wavelengths, another light.
    """
    if measurements.illuminant not in WHITES or measurements.observer != OBSERVERS["2"]:
        return ()
    eye = viewing(measurements.illuminant)
    apart = {
        reading.sample_id: float(
            delta_e_00(reflectance_to_lab(reading.reflectance, eye), reading.lab)
        )
        for reading in measurements.readings
        if reading.reflectance is not None and reading.lab is not None
    }
    far = [sample_id for sample_id, difference in apart.items() if difference > MOST_APART]
    if not far:
        return ()
    return (Flag("lab_disagrees", names=tuple(far), most=max(apart.values())),)


def _once(flags: Sequence[Flag]) -> tuple[Flag, ...]:
    return tuple(dict.fromkeys(flags))
