"""The readings of a whole file: each sample once, and what must be said of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.colorimetry.viewing import viewing
from refmatch.flag import Flag
from refmatch.paint.instrument.reading import (
    OBSERVERS,
    WHITES,
    Measurements,
    Reading,
    at_line,
    complaint,
    in_file,
)

MOST_APART = 2.0
"""dE00 between a file's Lab and its spectra that tables and rounding cannot explain: with
the weights of ASTM E308's table 5 it is 0.2 at most (see the tests)."""


def gathered(found: Measurements, where: str) -> Measurements:
    """Return the measurements with each sample once and each flag once.

    A sample with its spectrum in one table and its Lab in another becomes one reading.

    Raises:
        MeasurementError: a sample is measured twice.
    """
    readings: dict[str, Reading] = {}
    for reading in found.readings:
        before = readings.get(reading.sample_id)
        readings[reading.sample_id] = reading if before is None else _joined(before, reading, where)
    whole = tuple(readings.values())
    joined = replace(found, readings=whole)
    flags = (*found.flags, *_viewing_flags(joined), *_disagreement(joined))
    return replace(joined, flags=_once(flags))


def _joined(one: Reading, other: Reading, where: str) -> Reading:
    first, second = (one, other) if one.reflectance is not None else (other, one)
    complete = first.lab is None and second.reflectance is None
    if first.reflectance is None or not complete:
        place = in_file(where) if other.line is None else at_line(other.line, where)
        raise complaint("sample_measured_twice", place, sample=other.sample_id, first_line=one.line)
    return replace(one, reflectance=first.reflectance, lab=second.lab, name=one.name or other.name)


def _viewing_flags(found: Measurements) -> tuple[Flag, ...]:
    """Return cautions about Lab that stands alone under another light, or an unstated one."""
    alone = [each.sample_id for each in found.readings if each.reflectance is None]
    if not alone:
        return ()
    if not found.illuminant or not found.observer:
        return (Flag("viewing_not_stated", names=tuple(alone)),)
    if (found.illuminant, found.observer) == ("D50", OBSERVERS["2"]):
        return ()
    return (
        Flag(
            "other_viewing",
            names=tuple(alone),
            illuminant=found.illuminant,
            observer=found.observer,
            ours=OBSERVERS["2"],
        ),
    )


def _disagreement(found: Measurements) -> tuple[Flag, ...]:
    """Return a caution where a file's Lab is not that of its own spectra.

    One of the two is then not what the file says: another scale, other
    wavelengths, another light.
    """
    if found.illuminant not in WHITES or found.observer != OBSERVERS["2"]:
        return ()
    seen = viewing(found.illuminant)
    apart = {
        each.sample_id: float(delta_e_00(reflectance_to_lab(each.reflectance, seen), each.lab))
        for each in found.readings
        if each.reflectance is not None and each.lab is not None
    }
    far = [sample_id for sample_id, difference in apart.items() if difference > MOST_APART]
    if not far:
        return ()
    return (Flag("lab_disagrees", names=tuple(far), most=max(apart.values())),)


def _once(flags: Sequence[Flag]) -> tuple[Flag, ...]:
    return tuple(dict.fromkeys(flags))
