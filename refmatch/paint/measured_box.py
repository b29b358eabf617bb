"""A box from measurements: a file of an instrument's readings, and a plan of what was painted."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import NamedTuple, Protocol

import numpy as np

from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.colorimetry.spectrum import BANDS, Array
from refmatch.colorimetry.viewing import viewing
from refmatch.disk import check_folder_of
from refmatch.errors import BoxError, MeasurementError, UsageError
from refmatch.flag import Flag
from refmatch.paint.box import Box, built_in_tube
from refmatch.paint.box_file import write_box
from refmatch.paint.fit.swatch import Swatch, hiding_reflectance
from refmatch.paint.fit.tubes import Characterised, Named, characterise
from refmatch.paint.instrument import cgats, cxf
from refmatch.paint.instrument.reading import Measurements, Reading
from refmatch.paint.instrument.sample_plan import Component, Paired, Plan, Planned, pair, read_plan
from refmatch.paint.kubelka_munk import FINISHES, GLOSS, SPHERE, Surface, to_inner, to_measured
from refmatch.paint.library import key_of

MOST_BYTES = 64_000_000
"""Ten thousand samples at 1 nm; a longer file is no painter's."""


class _Read(Protocol):
    def __call__(self, data: bytes, where: str, specular: str = "") -> Measurements: ...


class Reader(NamedTuple):
    """One kind of file: whether some bytes are of it, and what they say."""

    recognises: Callable[[bytes], bool]
    read: _Read


READERS: dict[str, Reader] = {
    "CxF/X (ISO 17972)": Reader(cxf.recognises, cxf.read),
    "CGATS.17 (ISO 28178)": Reader(cgats.recognises, cgats.read),
}
"""Every kind of file that can be read, by its standard."""


def read_measurements(path: Path, specular: str = "") -> Measurements:
    """Return the readings of a file, whichever kind its content shows it to be.

    Args:
        path: the file.
        specular: "included" or "excluded": which spectrum to take where a file holds
            both of each sample; empty takes what there is, if there is only one.

    Raises:
        MeasurementError: it is not there, of no known kind, or cannot be used;
            with the line in a text file.
    """
    where = str(path)
    data = _bytes(Path(path))
    for reader in READERS.values():
        if reader.recognises(data):
            return reader.read(data, where, specular)
    raise MeasurementError("measurement_file_of_unknown_kind", path=where, kinds=tuple(READERS))


def _bytes(path: Path) -> bytes:
    try:
        with path.open("rb") as stream:
            data = stream.read(MOST_BYTES + 1)
    except (OSError, ValueError) as error:
        reason = (getattr(error, "strerror", None) or "no such name").lower()
        raise MeasurementError(
            "measurement_file_not_read", path=str(path), reason=reason
        ) from error
    if len(data) > MOST_BYTES:
        raise MeasurementError("measurement_file_too_large", path=str(path), most_bytes=MOST_BYTES)
    return data


HAND = {"mass": 0.02, "volume": 0.05}
"""Relative error of each part by how parts are counted: weighed, or laid out (own choice)."""

HIDES_WITHIN = 1.0
"""dE00 between a film over white and over black up to which it counts as hiding."""

SPECULAR = ("included", "excluded")


@dataclass(frozen=True)
class MeasureAsked:
    """Which readings, of what, and how.

    ``specular`` is "included", "excluded", or None where the file says it; ``by`` what parts were
    counted by, "mass" or "volume".
    """

    file: Path
    plan: Path
    specular: str | None = None
    by: str = "volume"
    name: str | None = None


@dataclass(frozen=True, eq=False)
class MeasuredBox:
    """A box of measured tubes, and how well it explains its swatches (dE00, by their labels)."""

    box: Box
    misses: tuple[tuple[str, float], ...]
    specular: str
    surface: Surface
    flags: tuple[Flag, ...]


def measure_box(asked: MeasureAsked, out: Path, *, over: bool = True) -> MeasuredBox:
    """Make a box of the tubes that a plan names, from their measured swatches, and write it.

    It is written ``over`` whatever is there, or only where nothing is.

    Raises:
        MeasurementError: file or plan cannot be read, or do not fit together.
        BoxError: a tube without a swatch, no white. UsageError: an unknown word.
        OutputError: it cannot be written.
    """
    if asked.by not in HAND:
        raise UsageError("parts_by", by=asked.by)
    check_folder_of(out)
    plan = read_plan(asked.plan)
    measurements = read_measurements(asked.file, asked.specular or "")
    specular = _specular(asked, measurements)
    paired = pair(plan, measurements)
    flags = _viewing_flags(asked, measurements)
    tubes = _tubes(plan)
    swatches, film_flags = _swatches(paired, tubes, specular, HAND[asked.by])
    white = _reference_white(tubes)
    name = asked.name or out.stem
    made = characterise(tubes, white, swatches, name, asked.by, _skin(specular))
    write_box(out, made.box, over=over)
    return _measured(made, swatches, specular, (*paired.flags, *flags, *film_flags))


def _measured(
    made: Characterised, swatches: Sequence[Swatch], specular: str, flags: tuple[Flag, ...]
) -> MeasuredBox:
    misses = tuple((swatch.label, miss) for swatch, miss in zip(swatches, made.misses, strict=True))
    tube_flags = tuple(flag for tube in made.box.tubes for flag in tube.flags)
    every = (*flags, *tube_flags, *made.flags)
    return MeasuredBox(made.box, misses, specular, made.surface, every)


def _specular(asked: MeasureAsked, measurements: Measurements) -> str:
    """Return whether the skin's shine is in the readings; what nobody says is asked for."""
    stated, said = measurements.specular, asked.specular
    if said is not None and said not in SPECULAR:
        raise UsageError("no_such_specular", specular=said)
    if said and stated and said != stated:
        raise MeasurementError("specular_stated", file=str(asked.file), stated=stated)
    specular = said or stated
    if not specular:
        raise MeasurementError("specular_unknown", file=str(asked.file))
    return specular


def _viewing_flags(asked: MeasureAsked, measurements: Measurements) -> tuple[Flag, ...]:
    """See that colours without a spectrum are told for the light that refmatch means.

    Raises:
        MeasurementError: they are told for another.
    """
    if all(reading.reflectance is not None for reading in measurements.readings):
        return ()
    here = viewing()
    stated = (measurements.illuminant, measurements.observer)
    if any(stated) and stated != (here.illuminant, here.observer):
        raise MeasurementError(
            "colours_of_other_viewing",
            file=str(asked.file),
            stated=tuple(filter(None, stated)),
            illuminant=here.illuminant,
            observer=here.observer,
        )
    return (Flag("no_spectra", is_stated=any(stated), illuminant=here.illuminant),)


def _tubes(plan: Plan) -> list[Named]:
    """Return every tube of the plan once, in the plan's order."""
    tubes: dict[str, Named] = {}
    for planned in plan.samples:
        for component in planned.components:
            tubes.setdefault(component.tube.lower(), _named(component))
    return list(tubes.values())


def _named(component: Component) -> Named:
    """Return a tube with its generic curves; a pigment that is not said may be the tube's name.

    One that is not known here, or may be several, is kept as it is written: swatches are enough.
    """
    name, written = component.tube, tuple(filter(None, (component.pigment,)))
    try:
        return Named.of(built_in_tube(component.pigment or name, name))
    except BoxError:
        return Named(name, written, tuple(key_of(pigment) for pigment in written), None)


def _reference_white(tubes: Sequence[Named]) -> str:
    """Return the white whose S is 1: titanium where there is one, else the first white."""
    whites = [tube for tube in tubes if tube.generic and tube.generic.is_white]
    if not whites:
        raise BoxError("plan_without_white")
    titanium = [tube for tube in whites if "titanium-white" in tube.keys]
    return (titanium or whites)[0].name


def _swatches(
    paired: Paired, tubes: Sequence[Named], specular: str, hand: float
) -> tuple[list[Swatch], tuple[Flag, ...]]:
    """Return a swatch for each sample, films over white and black brought together."""
    numbers = {tube.name.lower(): index for index, tube in enumerate(tubes)}
    films: dict[object, list[tuple[Planned, Reading]]] = {}
    for planned, reading in paired.samples:
        on_ground = planned.backing != "none" and reading.reflectance is not None
        mix = tuple(sorted((c.tube, c.parts) for c in planned.components))
        films.setdefault((mix, planned.finish) if on_ground else planned.sample_id, []).append(
            (planned, reading)
        )
    swatches: list[Swatch] = []
    flags: list[Flag] = []
    both = {"white", "black"}
    for alike in films.values():
        by_backing = {planned.backing: reading for planned, reading in alike}
        if not (both <= set(by_backing) and both <= set(paired.grounds)):
            for planned, found in alike:
                seen, lab = found.reflectance, found.lab
                swatches.append(_swatch(planned, seen, lab, numbers, specular, hand))
                flags += [_taken_as_hiding(planned)] if planned.backing != "none" else []
            continue
        planned = alike[0][0]
        seen, uncovered = _hiding(planned, by_backing, paired, specular)
        swatches.append(_swatch(planned, seen, None, numbers, specular, hand))
        if uncovered > HIDES_WITHIN:
            flags.append(_does_not_hide(planned, uncovered))
    return swatches, tuple(flags)


def _swatch(
    planned: Planned,
    reflectance: Array | None,
    lab: Array | None,
    numbers: dict[str, int],
    specular: str,
    hand: float,
) -> Swatch:
    return Swatch(
        label=planned.sample_id,
        tubes=tuple(numbers[component.tube.lower()] for component in planned.components),
        parts=tuple(component.parts for component in planned.components),
        reflectance=np.full(BANDS, 0.5) if reflectance is None else reflectance,
        f=_seen_share(planned, specular),
        hand=hand,
        lab=lab if reflectance is None else None,
    )


def _skin(specular: str) -> Surface:
    """Return the skin that readings are taken through, as far as is known beforehand."""
    return SPHERE if specular == "included" else GLOSS


def _seen_share(planned: Planned, specular: str) -> float:
    """Return how much of the skin's own reflection was seen; a matt one shows it all round."""
    return 1.0 if specular == "included" else FINISHES[planned.finish or "gloss"]


def _hiding(
    planned: Planned, by_backing: dict[str, Reading], paired: Paired, specular: str
) -> tuple[Array, float]:
    """Return what the film would show if it hid, and how far white and black shine through."""
    surface = replace(_skin(specular), f=_seen_share(planned, specular))
    readings = (
        by_backing["white"],
        by_backing["black"],
        paired.grounds["white"],
        paired.grounds["black"],
    )
    measured = [_spectrum(reading) for reading in readings]
    hidden, _ = hiding_reflectance(*(to_inner(each, surface) for each in measured))
    over_white, over_black = (reflectance_to_lab(each) for each in measured[:2])
    return to_measured(hidden, surface), float(delta_e_00(over_white, over_black))


def _spectrum(reading: Reading) -> Array:
    if reading.reflectance is None:
        raise MeasurementError("ground_without_spectrum", sample=reading.sample_id)
    return reading.reflectance


def _taken_as_hiding(planned: Planned) -> Flag:
    return Flag("taken_as_hiding", sample=planned.sample_id, ground=planned.backing)


def _does_not_hide(planned: Planned, uncovered: float) -> Flag:
    return Flag("does_not_hide", sample=planned.sample_id, apart=uncovered)
