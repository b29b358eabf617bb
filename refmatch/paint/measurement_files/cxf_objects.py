"""One object of a CxF document as a reading."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.flag import Flag
from refmatch.paint.measurement_files.cxf_specs import Specification, as_number
from refmatch.paint.measurement_files.grid import grid
from refmatch.paint.measurement_files.limits import checked_lab, checked_spectrum, lab_of_xyz
from refmatch.paint.measurement_files.model import Place, Reading, at_object, complaint

if TYPE_CHECKING:
    from colour_cxf.cxf3 import Object, ReflectanceSpectrum

LIKELY_STEPS_NM = (10.0, 5.0, 20.0, 1.0)
"""Spacings to try where none is stated: of these only one leads to the end of the visible."""

STEP_INFERRED = Flag("interval_inferred")


@dataclass(frozen=True, eq=False)
class ObjectRead:
    """What one object gave; ``reading`` is None where it has no colour that serves."""

    name: str
    reading: Reading | None
    specular: str
    below_zero: bool
    flags: tuple[Flag, ...]


@dataclass(frozen=True)
class ObjectReader:
    """Reads objects: the file's name, which specular is wanted, and the specifications."""

    where: str
    wanted_specular: str
    known: Mapping[str, Specification]
    lab_specification: str

    def read(self, raw: Object, index: int) -> ObjectRead:
        """Return the reading of an object, the ``index``-th.

        Raises:
            MeasurementError: its values cannot be used, or are several; it is named.
        """
        sample_id = (raw.id or raw.name or str(index)).strip() or str(index)
        name = (raw.name or "").strip()
        place = at_object(name or sample_id, self.where)
        values: list[Any] = list(raw.color_values.choice) if raw.color_values else []
        lab = self._lab(values, place)
        spectrum = self._spectrum(values, place)
        if spectrum is None:
            reading = None if lab is None else Reading(sample_id, None, lab, None, name)
            way = self._specification(self.lab_specification).specular
            return ObjectRead(name or sample_id, reading, way, False, ())
        specification = self._specification(spectrum.color_specification)
        reflectance, below_zero, flags = self._bands(spectrum, specification, place)
        return ObjectRead(
            name=name or sample_id,
            reading=Reading(sample_id, reflectance, lab, None, name),
            specular=specification.specular,
            below_zero=below_zero,
            flags=flags,
        )

    def _specification(self, key: object) -> Specification:
        return self.known.get(str(key), Specification())

    def _spectrum(self, values: list[Any], place: Place) -> ReflectanceSpectrum | None:
        """Return the one spectrum that is meant."""
        spectra = [each for each in values if type(each).__name__ == "ReflectanceSpectrum"]
        if len(spectra) > 1 and self.wanted_specular:
            spectra = [
                each
                for each in spectra
                if self._specification(each.color_specification).specular == self.wanted_specular
            ]
        if len(spectra) == 1:
            return spectra[0]
        if len([each for each in values if type(each).__name__ == "ReflectanceSpectrum"]) > 1:
            raise complaint(
                "several_spectra", place, count=len(spectra), specular=self.wanted_specular
            )
        return None

    def _bands(
        self, spectrum: ReflectanceSpectrum, specification: Specification, place: Place
    ) -> tuple[Array, bool, tuple[Flag, ...]]:
        """Return the spectrum on the 31 bands, whether it fell below zero, and cautions."""
        reflectance = _numbers(spectrum.value, place)
        start_nm = as_number(spectrum.start_wl) or specification.start_nm
        if start_nm is None:
            raise complaint("spectrum_without_start", place)
        step_nm = specification.step_nm or _likely_step(start_nm, len(reflectance), place)
        flags = () if specification.step_nm else (STEP_INFERRED,)
        nm = start_nm + step_nm * np.arange(len(reflectance))
        to_bands = grid(nm, place)
        checked = checked_spectrum(reflectance, nm, place)
        return to_bands.bands(checked), bool(reflectance.min() < 0.0), (*flags, *to_bands.flags)

    def _lab(self, values: list[Any], place: Place) -> Array | None:
        """Return the Lab of the chosen specification; XYZ serves only where nothing else does."""
        of = {
            type(each).__name__: each
            for each in reversed(values)
            if str(getattr(each, "color_specification", "")) == self.lab_specification
        }
        if "ColorCielab" in of:
            lab = of["ColorCielab"]
            return checked_lab(_numbers([lab.l, lab.a, lab.b], place), place)
        spectral = any(type(each).__name__ == "ReflectanceSpectrum" for each in values)
        if "ColorCiexyz" in of and not spectral:
            xyz, spec = of["ColorCiexyz"], self._specification(self.lab_specification)
            numbers = _numbers([xyz.x, xyz.y, xyz.z], place)
            return lab_of_xyz(numbers, spec.illuminant, spec.observer, place)
        return None


def _numbers(values: object, place: Place) -> Array:
    """Return numbers as an array, or refuse what stands in their place."""
    if isinstance(values, list) and values and all(isinstance(each, float) for each in values):
        numbers = np.array(values)
        if np.all(np.isfinite(numbers)):
            return numbers
    raise complaint("numbers_due", place)


def _likely_step(start_nm: float, count: int, place: Place) -> float:
    """Return the spacing that leads to an end between 680 and 830 nm."""
    for step_nm in LIKELY_STEPS_NM:
        if 680.0 <= start_nm + step_nm * (count - 1) <= 830.0:
            return step_nm
    raise complaint("spacing_not_stated", place, count=count, start_nm=start_nm)
