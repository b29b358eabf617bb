"""CGATS.17 / ISO 28178 text in all the ways it is found, read to the same numbers."""

from __future__ import annotations

import codecs
import re

import numpy as np
import pytest

from refmatch.colorimetry.spectrum import WAVELENGTHS_NM
from refmatch.colorimetry.viewing import viewing
from refmatch.paint.instrument.cgats_fields import AT_WAVELENGTH
from refmatch.say.sentence import sentence_of
from tests.colorimetry.charts import patch_reflectances
from tests.paint.instrument.made import STANDARD_FORM, read, spectral_table, table

CHART = patch_reflectances()


def same_as_chart(text: str | bytes, atol: float = 1e-12):
    found = read(text)
    assert [each.sample_id for each in found.readings] == list(CHART)
    for each in found.readings:
        np.testing.assert_allclose(each.reflectance, CHART[each.sample_id], atol=atol)
    return found


def test_the_form_of_the_standard():
    found = read(STANDARD_FORM)
    assert [(each.sample_id, each.name, each.line) for each in found.readings] == [
        ("A1", "apple green", 18),
        ("A2", 'garden "grey" table', 19),
        ("A3", "earth", 20),
    ]
    np.testing.assert_allclose(found.readings[0].lab, [52.10, -31.40, 40.25])
    np.testing.assert_allclose(found.readings[2].lab, [33.5, 12.0, 14.75])
    assert all(each.reflectance is None for each in found.readings)
    assert (found.illuminant, found.observer) == ("D50", "CIE 1931 2 degrees")
    assert found.specular == "excluded"
    assert found.flags == ()


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"], ids=["Unix", "Windows", "old Macintosh"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be"])
def test_line_ends_and_encodings(end, encoding):
    text = STANDARD_FORM.replace("\n", end).replace("apple green", "vert Véronèse")
    found = read(text.encode(encoding))
    assert [each.line for each in found.readings] == [18, 19, 20]
    assert found.readings[0].name == "vert Véronèse"
    np.testing.assert_allclose(found.readings[1].lab, [61.0, 0.12, -1.3])


def test_latin_1_and_a_big_endian_mark():
    text = STANDARD_FORM.replace("apple green", "vert Véronèse")
    assert read(text.encode("latin-1")).readings[0].name == "vert Véronèse"
    marked = codecs.BOM_UTF16_BE + text.encode("utf-16-be")
    assert read(marked).readings[0].name == "vert Véronèse"


@pytest.mark.parametrize(
    "field",
    [
        "SPECTRAL_NM{:.0f}",
        "SPECTRAL_NM_{:.0f}",
        "NM_{:.0f}",
        "nm{:.0f}",
        "R_{:.0f}",
        "R{:.0f}",
        "SPEC_{:.0f}",
        "SPECTRAL_{:.0f}",
        "R_{:.0f}nm",
        "SPECTRAL_NM{:.1f}",
        "SPECTRAL_DEC{:.0f}",
    ],
)
def test_every_name_of_a_spectral_field(field):
    same_as_chart(spectral_table(CHART, WAVELENGTHS_NM, field))


@pytest.mark.parametrize("other", ["RGB_R", "D_RED", "CMYK_C", "XYZ_X", "STDEV_L", "CR_1", "R_12"])
def test_other_fields_are_not_taken_for_spectra(other):
    assert not AT_WAVELENGTH.fullmatch(other)


@pytest.mark.parametrize("field", ["SPECTRAL_PCT{:.0f}", "SPECTRAL_PCT_{:.0f}", "NM_{:.0f}"])
def test_percent_by_name_or_by_value(field):
    percent = {name: 100.0 * spectrum for name, spectrum in CHART.items()}
    same_as_chart(spectral_table(percent, WAVELENGTHS_NM, field))


def test_blacks_alone_in_percent_need_their_name():
    """From 0.4 to 1.2 may be percent or fractions: by name it is either, without it is flagged."""
    values = np.linspace(0.4, 1.2, 31)
    named = read(spectral_table({"black": values}, WAVELENGTHS_NM, "SPECTRAL_PCT{:.0f}"))
    np.testing.assert_allclose(named.readings[0].reflectance, values / 100.0)
    bare = read(spectral_table({"black": values}, WAVELENGTHS_NM))
    np.testing.assert_allclose(bare.readings[0].reflectance, values)
    assert [flag.name for flag in bare.flags] == ["scale_taken_as_fractions"]


@pytest.mark.parametrize(("value", "factor"), [("SPECTRAL_PCT", 100.0), ("SPECTRAL_DEC", 1.0)])
def test_wavelengths_beside_each_value(value, factor):
    """The form with fields of the standard only: SPECTRAL_NM and a value, again and again."""
    fields = ["SAMPLE_ID", *(["SPECTRAL_NM", value] * 31)]
    rows = []
    for name, spectrum in CHART.items():
        pairs = zip(WAVELENGTHS_NM, spectrum * factor, strict=True)
        rows.append(
            [f'"{name}"', *(f"{each!r}" for nm, r in pairs for each in (int(nm), float(r)))]
        )
    same_as_chart(table(fields, rows))


def test_wavelengths_beside_each_value_may_run_down():
    fields = ["SAMPLE_ID", *(["SPECTRAL_NM", "SPECTRAL_DEC"] * 31)]
    rows = []
    for name, spectrum in CHART.items():
        pairs = zip(WAVELENGTHS_NM[::-1], spectrum[::-1], strict=True)
        rows.append([f'"{name}"', *(repr(float(each)) for pair in pairs for each in pair)])
    same_as_chart(table(fields, rows))


def test_columns_in_any_order_among_others():
    fields = ["RGB_R", *(f"R_{nm:.0f}" for nm in WAVELENGTHS_NM[::-1]), "SAMPLE_ID", "REMARK"]
    rows = [
        ["110.2", *(repr(float(r)) for r in spectrum[::-1]), f'"{name}"', "-"]
        for name, spectrum in CHART.items()
    ]
    same_as_chart(table(fields, rows))


@pytest.mark.parametrize("separator", ["\t", " ", "   ", " \t "])
def test_tabs_or_spaces(separator):
    same_as_chart(spectral_table(CHART, WAVELENGTHS_NM).replace("\t", separator))


def test_decimal_commas():
    text = spectral_table(CHART, WAVELENGTHS_NM)
    same_as_chart(re.sub(r"(?<=\t\d)\.", ",", text))


def test_between_tabs_a_name_needs_no_quotes_and_may_be_missing():
    rows = [["1", "sap green, thin", "40", "-20", "30"], ["2", "", "50", "0", "0"]]
    found = read(table(["SAMPLE_ID", "SAMPLE_NAME", "LAB_L", "LAB_A", "LAB_B"], rows))
    assert [each.name for each in found.readings] == ["sap green, thin", ""]
    trailing = [[*row, ""] for row in rows]  # as some spreadsheets end every row
    found = read(table(["SAMPLE_ID", "SAMPLE_NAME", "LAB_L", "LAB_A", "LAB_B"], trailing))
    assert [each.name for each in found.readings] == ["sap green, thin", ""]


def test_sets_may_run_over_several_lines_where_they_are_counted():
    """Older files keep lines short; NUMBER_OF_SETS then guards against a slip."""
    text = spectral_table(CHART, WAVELENGTHS_NM)
    head, data = text.split("BEGIN_DATA\n")
    lines = data.splitlines()
    broken = [line.replace("\t", "\n", 15).replace("\n", "\t", 14) for line in lines[:24]]
    body = "\n".join([*broken, lines[24]])
    found = same_as_chart(f"{head}NUMBER_OF_SETS 24\nBEGIN_DATA\n{body}\n")
    assert [each.line for each in found.readings[:3]] == [7, 9, 11]


def test_a_name_alone_tells_samples_apart():
    found = read(table(["SAMPLE_NAME", "LAB_L", "LAB_A", "LAB_B"], [["pear", "60", "-5", "50"]]))
    assert (found.readings[0].sample_id, found.readings[0].name) == ("pear", "pear")


def test_xyz_becomes_lab_against_the_white_of_its_light():
    """The white itself is Lab 100, 0, 0, and a grey of 18.42 % is L* 50 (CIE 015:2018)."""
    for illuminant in ("D50", "D65", "A"):
        white = viewing(illuminant).white
        rows = [
            [name, *(repr(float(share * each)) for each in white)]
            for name, share in (("white", 1.0), ("grey", 0.18418651851244416))
        ]
        head = f'WEIGHTING_FUNCTION "ILLUMINANT, {illuminant}"'
        found = read(table(["SAMPLE_ID", "XYZ_X", "XYZ_Y", "XYZ_Z"], rows, before=head))
        np.testing.assert_allclose(found.readings[0].lab, [100.0, 0.0, 0.0], atol=1e-9)
        np.testing.assert_allclose(found.readings[1].lab, [50.0, 0.0, 0.0], atol=1e-9)


def test_spectrum_and_lab_of_one_sample_in_two_tables():
    spectra = spectral_table(CHART, WAVELENGTHS_NM)
    rows = [[f'"{name}"', "50", "1", str(index)] for index, name in enumerate(CHART)]
    second = table(["SAMPLE_ID", "LAB_L", "LAB_A", "LAB_B"], rows).removeprefix("CGATS.17\n")
    found = same_as_chart(spectra + second)
    assert [each.lab[2] for each in found.readings] == list(range(24))


def test_a_second_table_may_keep_the_format_of_the_first():
    """Its keywords hold on too, but not its counts."""
    rows = "BEGIN_DATA\nB1 40 1 2\nB2 41 1 2\nEND_DATA\n"
    first = table(
        ["SAMPLE_ID", "LAB_L", "LAB_A", "LAB_B"], [["A1", "50", "0", "0"]], "NUMBER_OF_SETS 1"
    )
    assert [each.sample_id for each in read(first + rows).readings] == ["A1", "B1", "B2"]


def test_noise_below_zero_is_taken_as_zero_and_said():
    black = np.full(31, 0.002)
    black[4] = -0.0011
    found = read(spectral_table({"black": black, "white": np.full(31, 0.9)}, WAVELENGTHS_NM))
    assert found.readings[0].reflectance[4] == 0.0
    (flag,) = found.flags
    assert flag.name == "below_zero"
    assert "of black fell" in sentence_of(flag)


def test_spectra_short_of_the_bands_are_flagged():
    found = read(spectral_table({"a": np.linspace(0.04, 0.4, 28)}, np.arange(420, 691, 10)))
    assert [flag.name for flag in found.flags] == ["ends_extended"]


@pytest.mark.parametrize(
    ("head", "illuminant", "observer", "specular"),
    [
        ("", "", "", ""),
        ('ILLUMINATION_NAME "D65"\nOBSERVER_ANGLE "10"', "D65", "CIE 1964 10 degrees", ""),
        (
            'MEASUREMENT_SOURCE "Illumination=D50\tObserverAngle=2°\tWhiteBase=Abs"',
            "D50",
            "CIE 1931 2 degrees",
            "",
        ),
        (
            'MEASUREMENT_SOURCE "Illumination=A"\nWEIGHTING_FUNCTION "ILLUMINANT, D50"\n'
            'WEIGHTING_FUNCTION "OBSERVER, CIE 1931"',
            "D50",
            "CIE 1931 2 degrees",
            "",
        ),
        ('MEASUREMENT_SOURCE "MeasurementCondition=M1"', "", "", ""),
        ('MEASUREMENT_GEOMETRY "0/45"', "", "", "excluded"),
        ('MEASUREMENT_GEOMETRY "d/8, specular included"', "", "", "included"),
        ('MEASUREMENT_GEOMETRY "de:8"', "", "", "excluded"),
        ('MEASUREMENT_GEOMETRY "45°/0°"', "", "", "excluded"),
        ('SPECULAR "excluded"', "", "", "excluded"),
        ('MEASUREMENT_GEOMETRY "d/8"', "", "", ""),
        ('MEASUREMENT_GEOMETRY "d/8, UV included"', "", "", ""),
        ('WEIGHTING_FUNCTION "D65/10"', "D65", "CIE 1964 10 degrees", ""),
    ],
)
def test_what_the_header_states(head, illuminant, observer, specular):
    text = table(["SAMPLE_ID", "LAB_L", "LAB_A", "LAB_B"], [["a", "50", "0", "0"]], before=head)
    found = read(text)
    assert (found.illuminant, found.observer, found.specular) == (illuminant, observer, specular)


def test_lab_alone_needs_its_viewing_said():
    def flags(head: str) -> list[str]:
        fields = ["SAMPLE_ID", "LAB_L", "LAB_A", "LAB_B"]
        return [each.name for each in read(table(fields, [["a", "50", "0", "0"]], head)).flags]

    assert flags("") == ["viewing_not_stated"]
    assert flags("ILLUMINATION_NAME D50\nOBSERVER_ANGLE 2") == []
    assert flags("ILLUMINATION_NAME D65\nOBSERVER_ANGLE 10") == ["other_viewing"]
