"""Reads measurements from CxF/X (ISO 17972), which the library colour-cxf parses."""

from __future__ import annotations

import contextlib
import logging
import re
import warnings
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.errors import LibraryMissing, MeasurementError
from refmatch.flag import Flag
from refmatch.paint.instrument.grid import grid
from refmatch.paint.instrument.reading import (
    OBSERVERS,
    Measurements,
    Place,
    Reading,
    at_object,
    below_zero_flags,
    checked_lab,
    checked_spectrum,
    complaint,
    decoded,
    gathered,
    in_file,
    lab_of_xyz,
    number,
)

if TYPE_CHECKING:
    from colour_cxf.cxf3 import (
        ColorSpecification,
        CxF,
        MeasurementSpec,
        Object,
        ReflectanceSpectrum,
    )


# The colour specifications of a CxF file: how its values were measured and reckoned.

SPHERE = {"Specular_Included": "included", "Specular_Excluded": "excluded"}
FIELD_OF_VIEW = {"2_Degree": OBSERVERS["2"], "10_Degree": OBSERVERS["10"]}


@dataclass(frozen=True)
class Specification:
    """One of them; what it does not say is empty, or None."""

    illuminant: str = ""
    observer: str = ""
    specular: str = ""
    start_nm: float | None = None
    step_nm: float | None = None

    @property
    def is_ours(self) -> bool:
        """Whether its colours hold under the tool's own D50 and 2 degrees."""
        return (self.illuminant, self.observer) == ("D50", OBSERVERS["2"])


def specifications(document: CxF) -> dict[str, Specification]:
    """Return the colour specifications of a document by their Id."""
    resources = document.resources
    collection = resources and resources.color_specification_collection
    listed = collection.color_specification if collection else []
    return {str(one.id): _specification(one) for one in listed}


def said(value: object) -> str:
    """Return the word of a value: an enumeration's, or what stands there in its place."""
    return str(getattr(value, "value", value) or "")


def as_number(value: object) -> float | None:
    """Return an attribute as a number, however the file writes it."""
    return number(str(value).strip()) if value is not None else None


def _specification(raw: ColorSpecification) -> Specification:
    tristimulus, measured = raw.tristimulus_spec, raw.measurement_spec
    light = tristimulus and tristimulus.illuminant_or_custom_illuminant
    observer = tristimulus and tristimulus.observer
    extent = measured and measured.wavelength_range
    return Specification(
        illuminant=said(getattr(light, "value", None)),
        observer=FIELD_OF_VIEW.get(said(observer and observer.value), ""),
        specular=_specular(measured),
        start_nm=as_number(extent and extent.start_wl),
        step_nm=_step(as_number(extent and extent.increment)),
    )


def _step(stated_nm: float | None) -> float | None:
    """Return a spacing that can be one; anything else counts as not stated."""
    return stated_nm if stated_nm is not None and 0.0 < stated_nm < 1000.0 else None


def _specular(measured: MeasurementSpec | None) -> str:
    """Return how the geometry sees the shine: 45/0 does not, a sphere says."""
    choice = getattr(measured and measured.geometry_choice, "choice", None)
    angles = {
        getattr(choice, "illumination_angle", None),
        getattr(choice, "measurement_angle", None),
    }
    return "excluded" if angles == {45.0, 0.0} else SPHERE.get(said(choice), "")


# One object of a CxF document as a reading.

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
            type(value).__name__: value
            for value in reversed(values)
            if str(getattr(value, "color_specification", "")) == self.lab_specification
        }
        if "ColorCielab" in of:
            lab = of["ColorCielab"]
            return checked_lab(_numbers([lab.l, lab.a, lab.b], place), place)
        spectral = any(type(value).__name__ == "ReflectanceSpectrum" for value in values)
        if "ColorCiexyz" in of and not spectral:
            xyz, spec = of["ColorCiexyz"], self._specification(self.lab_specification)
            numbers = _numbers([xyz.x, xyz.y, xyz.z], place)
            return lab_of_xyz(numbers, spec.illuminant, spec.observer, place)
        return None


def _numbers(values: object, place: Place) -> Array:
    """Return numbers as an array, or refuse what stands in their place."""
    if isinstance(values, list) and values and all(isinstance(value, float) for value in values):
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


ROOT = re.compile(r"<(?:[\w.-]+:)?CxF[\s>/]")


def recognises(data: bytes) -> bool:
    """Say whether the bytes are such a document."""
    return bool(ROOT.search(decoded(data[:8192])))


def read(data: bytes, where: str, specular: str = "") -> Measurements:
    """Return all objects that carry a reflectance spectrum, CIELAB or XYZ.

    Where an object has several spectra, ``specular`` ("included" or "excluded")
    chooses; among several Lab those for D50 and 2 degrees are taken.

    Raises:
        MeasurementError: no such document, no colour in it, or an object whose
            values cannot be used, by its name.
    """
    document = _parsed(data, where)
    known = specifications(document)
    reader = ObjectReader(where, specular, known, _lab_specification(document, known, specular))
    reads = [reader.read(raw, index) for index, raw in enumerate(_objects(document), 1)]
    used = [read_object for read_object in reads if read_object.reading is not None]
    if not used:
        raise complaint("no_coloured_objects", in_file(where))
    light = known.get(reader.lab_specification, Specification())
    ways = {read_object.specular for read_object in used}
    flags = [flag for read_object in used for flag in read_object.flags]
    flags += below_zero_flags([read_object.name for read_object in used if read_object.below_zero])
    flags += _left_out([read_object.name for read_object in reads if read_object.reading is None])
    readings = tuple(read_object.reading for read_object in used if read_object.reading is not None)
    way = ways.pop() if len(ways) == 1 else ""
    return gathered(
        Measurements(readings, light.illuminant, light.observer, way, tuple(flags)), where
    )


def _parsed(data: bytes, where: str) -> CxF:
    """Return the document, read leniently: what is of no concern here may be odd."""
    if "<!DOCTYPE" in decoded(data):  # entities can swell or reach outside; no CxF has them
        raise complaint("document_type_declared", in_file(where))
    try:
        from colour_cxf.cxf3 import CxF
        from xsdata.formats.dataclass.parsers import XmlParser
        from xsdata.formats.dataclass.parsers.config import ParserConfig
    except ImportError as error:
        raise LibraryMissing("cxf_library_missing") from error
    parser = XmlParser(config=ParserConfig(fail_on_unknown_properties=False))
    with _quiet():
        try:
            return parser.from_bytes(data, CxF)
        except Exception as error:  # the XML library's own kinds are many and not promised
            reason = " ".join(str(error).split()) or type(error).__name__
            raise MeasurementError("cxf_not_whole", where=where, reason=reason) from error


@contextlib.contextmanager
def _quiet() -> Iterator[None]:
    """Hold back the library's warnings: values that do not convert are checked where used."""
    log = logging.getLogger("xsdata")
    level = log.level
    log.setLevel(logging.CRITICAL)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            yield
    finally:
        log.setLevel(level)


def _objects(document: CxF) -> list[Object]:
    resources = document.resources
    collection = resources and resources.object_collection
    return list(collection.object_value) if collection else []


def _lab_specification(document: CxF, known: dict[str, Specification], specular: str) -> str:
    """Return the Id of the specification whose Lab and XYZ are taken, for all objects alike."""
    names = [
        str(value.color_specification)
        for item in _objects(document)
        for value in (item.color_values.choice if item.color_values else [])
        if type(value).__name__ in ("ColorCielab", "ColorCiexyz")
    ]
    rank = {
        name: (specular not in ("", spec.specular), not spec.is_ours)
        for name in names
        for spec in [known.get(name, Specification())]
    }
    return min(rank, key=lambda name: rank[name], default="")


def _left_out(names: list[str]) -> tuple[Flag, ...]:
    if not names:
        return ()
    return (Flag("objects_without_colour", names=tuple(names)),)
