"""Reads measurements from CxF/X (ISO 17972), which the library colour-cxf parses."""

from __future__ import annotations

import contextlib
import logging
import re
import warnings
from collections.abc import Iterator
from typing import TYPE_CHECKING

from refmatch.errors import LibraryMissing, MeasurementError
from refmatch.flag import Flag
from refmatch.paint.measurement_files.cxf_objects import ObjectReader
from refmatch.paint.measurement_files.cxf_specs import Specification, specifications
from refmatch.paint.measurement_files.gather import gathered
from refmatch.paint.measurement_files.limits import below_zero_flags
from refmatch.paint.measurement_files.model import Measurements, complaint, in_file
from refmatch.paint.measurement_files.text import decoded

if TYPE_CHECKING:
    from colour_cxf.cxf3 import CxF, Object

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
    found = [reader.read(raw, index) for index, raw in enumerate(_objects(document), 1)]
    used = [each for each in found if each.reading is not None]
    if not used:
        raise complaint("no_coloured_objects", in_file(where))
    light = known.get(reader.lab_specification, Specification())
    ways = {each.specular for each in used}
    flags = [flag for each in used for flag in each.flags]
    flags += below_zero_flags([each.name for each in used if each.below_zero])
    flags += _left_out([each.name for each in found if each.reading is None])
    readings = tuple(each.reading for each in used if each.reading is not None)
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
        for each in _objects(document)
        for value in (each.color_values.choice if each.color_values else [])
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
