"""What is wrong in a CGATS.17 text is refused in one sentence that holds the line."""

from __future__ import annotations

import re

import numpy as np
import pytest

from refmatch.colorimetry.spectrum import WAVELENGTHS_NM
from refmatch.errors import MeasurementError
from refmatch.say.sentence import sentence_of
from tests.paint.instrument.made import STANDARD_FORM, read, spectral_table, table

LAB_FIELDS = ["SAMPLE_ID", "LAB_L", "LAB_A", "LAB_B"]


def refusal(text: str | bytes) -> str:
    with pytest.raises(MeasurementError) as refused:
        read(text)
    sentence = sentence_of(refused.value)
    assert "'orchard.txt'" in sentence
    assert sentence.endswith((".", "?"))
    assert "\n" not in sentence
    return sentence


def lab_table(*rows: str, head: str = "") -> str:
    return table(LAB_FIELDS, [row.split() for row in rows], head)


def spectra(change=None, **header) -> str:
    """Return a table of three samples, the second (line 7) changed."""
    rows = {name: np.linspace(0.05, 0.9, 31) for name in ("s1", "s2", "s3")}
    if change:
        rows["s2"] = change(rows["s2"])
    return spectral_table(rows, WAVELENGTHS_NM, **header)


def put(value: float):
    return lambda spectrum: np.where(WAVELENGTHS_NM == 550, value, spectrum)


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        (lab_table("a 50 0 0", "b 50 0"), 7, "holds 3 values for 4 fields"),
        (lab_table("a 50 0 0 1", "b 50 0 0"), 6, "holds 5 values for 4 fields"),
        (lab_table("a 50 0", "0 b 50 0 0"), 6, "holds 3 values for 4 fields"),
        (lab_table("a 50 0", "b 50 0", head="NUMBER_OF_SETS 2"), 7, "holds 6 values"),
        (lab_table("a 50", "b 50", head="NUMBER_OF_SETS 2"), 2, "NUMBER_OF_SETS 2, but 1 sets"),
        (lab_table("a 50 0 0", head="NUMBER_OF_SETS 2"), 2, "NUMBER_OF_SETS 2, but 1 sets follow"),
        (lab_table("a 50 0 0", head="NUMBER_OF_FIELDS 5"), 2, "but 4 fields are named"),
        (lab_table("a 50 0 0", head="NUMBER_OF_FIELDS four"), 2, "but 4 fields are named"),
        (lab_table("a 50 0 0", "b 50 zero 0"), 7, "has 'zero' where the field LAB_A needs"),
        (lab_table("a 50 0 0", "b nan 0 0"), 7, "has 'nan' where the field LAB_L needs"),
        (lab_table("a 50 0 0", "b 1e999 0 0"), 7, "has '1e999' where"),
        (lab_table("a 5_0 0 0"), 6, "has '5_0' where"),
        (lab_table("a 1.234,5 0 0"), 6, "has '1.234,5' where"),
        (lab_table("a 50 0 0", "b 150 0 0"), 7, "has Lab 150, 0, 0, which no surface"),
        (lab_table("a 50 0 0", "b 50 0 -250"), 7, "which no surface"),
        (lab_table("a 50 0 0", "b 50 0 0", "a 51 0 0"), 8, "'a' a second time, first in line 6"),
        (lab_table('"a 50 0 0'), 6, "has a quote that never closes"),
        (lab_table("a 50 0 0").replace("END_DATA\n", "\n"), 5, "no END_DATA follows"),
        (lab_table("a 50 0 0").replace("END_DATA_FORMAT", ""), 2, "no END_DATA_FORMAT follows"),
        (lab_table("a 50 0 0") + "END_DATA\n", 8, "has END_DATA, but nothing was begun"),
        ("CGATS.17\nBEGIN_DATA\na 50 0 0\nEND_DATA\n", 2, "begins data whose fields nothing names"),
        (table(["LAB_L", "LAB_A", "LAB_B"], [["50", "0", "0"]]), 2, "no field SAMPLE_ID"),
        (table(["SAMPLE_ID", "RGB_R"], [["a", "50"]]), 2, "names no spectrum"),
        (table([*LAB_FIELDS, "LAB_A"], [["a", "5", "0", "0", "1"]]), 2, "LAB_A; LAB_L, LAB_A"),
        (table(LAB_FIELDS[:3], [["a", "50", "0"]]), 2, "lacks the field LAB_B"),
        (table(LAB_FIELDS, [["a", "50", "", "0"]]), 6, "has nothing where the field LAB_A"),
        (table(LAB_FIELDS, [["", "50", "0", "0"]]), 6, "names no sample"),
        (spectra(put(-0.2)), 7, "has a reflectance of -0.2 (1 is a perfect white) at 550 nm"),
        (spectra(put(1.6), field="SPECTRAL_DEC{:.0f}"), 7, "has a reflectance of 1.6"),
        (spectra(field="SPECTRAL_PCT{:.0f}"), 2, "names percent (SPECTRAL_PCT), but"),
        (spectra(put(2.0)), 2, "with 2 as the largest value they may be either"),
        (spectra(field="NM_4{:.0f}"), 2, "from 4400 to 4700 nm"),
    ],
)
def test_it_says_the_line(text, line, says):
    sentence = refusal(text)
    assert sentence.startswith(f"Line {line} of ")
    assert says in sentence


def test_the_line_is_right_with_any_line_end():
    text = lab_table("a 50 0 0", "b 50 zero 0")
    for end in ("\r\n", "\r"):
        assert refusal(text.replace("\n", end)).startswith("Line 7 of ")


def test_a_control_character_of_latin_1_ends_no_line():
    """Byte 85 hex is "next line" in Unicode, but no editor counts it in a Latin-1 file."""
    text = lab_table("a 50 0 0", "b 50 zero 0", head="DESCRIPTOR x").encode("latin-1")
    assert refusal(text.replace(b"x", b"x\x85\xe9")).startswith("Line 8 of ")


def test_two_sets_of_spectra_in_one_table():
    fields = ["SAMPLE_ID", *(f"NM_{nm:.0f}" for nm in WAVELENGTHS_NM), "R_400"]
    assert "400 nm twice" in refusal(table(fields, [["a", *["0.5"] * 32]]))


def test_pairs_that_do_not_pair_or_change():
    fields = ["SAMPLE_ID", *["SPECTRAL_NM", "SPECTRAL_DEC"] * 31]
    pairs = [f"{nm:.0f} 0.5".split() for nm in WAVELENGTHS_NM]
    row = [each for pair in pairs for each in pair]
    assert "names SPECTRAL_NM 31 times, but 30 values" in refusal(
        table(fields[:-1], [["a", *row[:-1]]])
    )
    moved = ["395", *row[1:]]
    sentence = refusal(table(fields, [["a", *row], ["b", *moved]]))
    assert sentence.startswith("Line 7 of ")
    assert "other wavelengths than line 6" in sentence


def test_a_spectrum_measured_twice():
    twice = spectral_table({"a": np.linspace(0.05, 0.9, 31)}, WAVELENGTHS_NM) * 2
    assert refusal(twice).startswith("Line 13 of ")
    assert "has the sample 'a' a second time, first in line 6" in refusal(twice)


def test_tables_of_two_scales():
    light = spectral_table({"a": np.linspace(0.05, 0.9, 31)}, WAVELENGTHS_NM)
    percent = spectral_table({"b": np.linspace(5.0, 90.0, 31)}, WAVELENGTHS_NM)
    sentence = refusal(light + percent)
    assert sentence.startswith("Line 9 of ")
    assert "look like percent, but those of line 2 do not" in sentence


@pytest.mark.parametrize("illuminant", ["F11", "C"])
def test_xyz_under_a_light_whose_white_is_not_known(illuminant):
    head = f'WEIGHTING_FUNCTION "ILLUMINANT, {illuminant}"'
    text = table(["SAMPLE_ID", "XYZ_X", "XYZ_Y", "XYZ_Z"], [["a", "40", "41", "33"]], head)
    assert f"has XYZ under {illuminant}" in refusal(text)


def test_xyz_on_a_scale_of_one():
    text = table(["SAMPLE_ID", "XYZ_X", "XYZ_Y", "XYZ_Z"], [["a", "0.40", "0.41", "0.33"]])
    assert "no Y is above 0.41" in refusal(text)


def test_a_file_without_samples():
    empty = re.sub(r"(?s)NUMBER_OF_SETS.*END_DATA", "BEGIN_DATA\nEND_DATA", STANDARD_FORM)
    assert refusal(empty) == "'orchard.txt' holds no samples between BEGIN_DATA and END_DATA."
