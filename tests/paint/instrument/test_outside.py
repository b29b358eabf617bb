"""CGATS.17 against other readers: colour-science's, and littleCMS reading what we write."""

from __future__ import annotations

import ctypes
from pathlib import Path

import imagecodecs
import numpy as np
import pytest

from refmatch.colorimetry.lab import reflectance_to_lab
from refmatch.colorimetry.spectrum import WAVELENGTHS_NM
from refmatch.paint.instrument.cgats_tables import cgats_text
from refmatch.paint.instrument.reading import Reading
from refmatch.paint.measured_box import read_measurements
from tests.colorimetry.charts import colour, patch_reflectances


def exported_by_an_instrument() -> Path:
    """Return the file with which colour-science tests its own reader of such exports."""
    folder = Path(colour.__file__).parent / "io" / "tests" / "resources"
    return next(path for path in folder.glob("*.txt") if b"BEGIN_DATA" in path.read_bytes())


def test_an_instruments_export_reads_as_colour_science_reads_it():
    path = exported_by_an_instrument()
    theirs = colour.io.read_sds_from_xrite_file(str(path))
    found = read_measurements(path)
    assert [each.name for each in found.readings] == list(theirs)
    for each in found.readings:
        spectrum = theirs[each.name]
        there = np.isin(spectrum.wavelengths, WAVELENGTHS_NM[1:-1])
        np.testing.assert_array_equal(each.reflectance[1:-1], spectrum.values[there])
        ends = spectrum[[380, 390, 400]], spectrum[[700, 710, 720, 730]]
        assert ends[0].min() <= each.reflectance[0] <= ends[0].max()
        assert ends[1].min() <= each.reflectance[-1] <= ends[1].max()
    assert (found.illuminant, found.observer) == ("D65", "CIE 1964 10 degrees")


def test_littlecms_reads_what_we_write():
    chart = patch_reflectances()
    readings = [
        Reading(name, spectrum, reflectance_to_lab(spectrum), name=f"patch {index}")
        for index, (name, spectrum) in enumerate(chart.items())
    ]
    sheet = LittleCms(cgats_text(readings, {"WEIGHTING_FUNCTION": "ILLUMINANT, D50"}))
    for each in readings:
        assert sheet.text(each.sample_id, "SAMPLE_NAME") == each.name
        for nm, value in zip(WAVELENGTHS_NM, each.reflectance, strict=True):
            assert sheet.number(each.sample_id, f"SPECTRAL_NM{nm:.0f}") == pytest.approx(value)
        for field, value in zip(("LAB_L", "LAB_A", "LAB_B"), each.lab, strict=True):
            assert sheet.number(each.sample_id, field) == pytest.approx(value)


class LittleCms:
    """The sheet reader of littleCMS, in the library that imagecodecs brings along."""

    def __init__(self, text: str) -> None:
        found = sorted(Path(imagecodecs.__file__).parents[1].glob("imagecodecs.libs/liblcms2*"))
        if not found:
            pytest.skip("imagecodecs brings no separate littleCMS library on this system")
        self.library = ctypes.CDLL(str(found[0]))
        self.library.cmsIT8LoadFromMem.restype = ctypes.c_void_p
        self.library.cmsIT8GetData.restype = ctypes.c_char_p
        self.library.cmsIT8GetDataDbl.restype = ctypes.c_double
        data = text.encode()
        self.handle = ctypes.c_void_p(
            self.library.cmsIT8LoadFromMem(None, data, ctypes.c_uint32(len(data)))
        )
        assert self.handle.value, "littleCMS refused the text"

    def text(self, sample: str, field: str) -> str:
        return self.library.cmsIT8GetData(self.handle, sample.encode(), field.encode()).decode()

    def number(self, sample: str, field: str) -> float:
        return self.library.cmsIT8GetDataDbl(self.handle, sample.encode(), field.encode())
