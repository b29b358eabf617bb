"""CxF/X documents: the sample of the library colour-cxf, and documents it writes for us."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import colour_cxf
import numpy as np
import pytest
from colour_cxf import cxf3

from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.colorimetry.spectrum import WAVELENGTHS_NM
from refmatch.errors import MeasurementError
from refmatch.paint.instrument import cxf
from refmatch.paint.measured_box import read_measurements
from refmatch.say.sentence import sentence_of
from tests.colorimetry.charts import patch_reflectances
from tests.refusals import refused

SAMPLE = Path(colour_cxf.__file__).parent / "tests" / "resources" / "sample.cxf"
CHART = patch_reflectances()
INCLUDED, EXCLUDED = cxf3.EsphereType.SPECULAR_INCLUDED, cxf3.EsphereType.SPECULAR_EXCLUDED


def specification(
    key: str, sphere=EXCLUDED, step: int | None = 10, illuminant="D50", observer="2_Degree"
) -> cxf3.ColorSpecification:
    extent = None if step is None else cxf3.WavelengthRange(400, step)
    return cxf3.ColorSpecification(
        tristimulus_spec=cxf3.TristimulusSpec(
            cxf3.Illuminant(cxf3.EilluminantType(illuminant)),
            cxf3.Observer(cxf3.EobserverType(observer)),
        ),
        measurement_spec=cxf3.MeasurementSpec(
            geometry_choice=cxf3.GeometryChoice(sphere), wavelength_range=extent
        ),
        id=key,
    )


def document(objects: dict[str, list], specifications: list[cxf3.ColorSpecification]) -> bytes:
    """Return the text of a document with these objects and their values."""
    made = [
        cxf3.Object(
            color_values=cxf3.ColorValues(values), object_type="Standard", name=name, id=f"i{index}"
        )
        for index, (name, values) in enumerate(objects.items(), 1)
    ]
    resources = cxf3.Resources(
        cxf3.ObjectCollection(made), cxf3.ColorSpecificationCollection(specifications)
    )
    return colour_cxf.write_cxf(cxf3.CxF(resources=resources))


def spectrum(values, key: str = "one", start: int | None = 400) -> cxf3.ReflectanceSpectrum:
    return cxf3.ReflectanceSpectrum(
        [float(each) for each in values], start_wl=start, color_specification=key
    )


def lab(values, key: str = "one") -> cxf3.ColorCielab:
    return cxf3.ColorCielab(*values, color_specification=key)


def read(objects, specifications=None, specular: str = ""):
    made = document(objects, specifications or [specification("one")])
    return cxf.read(made, "orchard.cxf", specular)


def refusal(*arguments, **named) -> str:
    with pytest.raises(MeasurementError) as refused:
        read(*arguments, **named)
    sentence = sentence_of(refused.value)
    assert sentence.endswith(".")
    assert "'orchard.cxf'" in sentence
    return sentence


def test_its_own_lab_agrees_with_our_lab_of_its_spectra():
    """144 printed patches with spectra from 380 to 680 nm and Lab by ASTM E308, table 5."""
    found = read_measurements(SAMPLE)
    assert len(found.readings) == 144
    assert (found.illuminant, found.observer) == ("D50", "CIE 1931 2 degrees")
    assert found.specular == "excluded"  # 45/0
    assert [flag.name for flag in found.flags] == ["ends_extended"]  # none disagrees
    spectra = np.stack([each.reflectance for each in found.readings])
    apart = delta_e_00(reflectance_to_lab(spectra), np.stack([each.lab for each in found.readings]))
    assert np.median(apart) < 0.1
    assert apart.max() < 0.2


def test_spectra_come_back_to_the_last_digit():
    found = read({name: [spectrum(values)] for name, values in CHART.items()})
    assert [each.name for each in found.readings] == list(CHART)
    assert [each.sample_id for each in found.readings][:2] == ["i1", "i2"]
    for each in found.readings:
        np.testing.assert_allclose(each.reflectance, CHART[each.name], atol=1e-9)
        assert each.lab is None
        assert each.line is None
    assert found.specular == "excluded"
    assert found.flags == ()


def test_lab_or_xyz_alone():
    grey = cxf3.ColorCiexyz(*(18.41865 * np.array([0.9642, 1.0, 0.8249])), None, "one")
    found = read({"apple": [lab((52.0, -31.0, 40.0))], "grey": [grey]})
    np.testing.assert_allclose(found.readings[0].lab, [52.0, -31.0, 40.0])
    np.testing.assert_allclose(found.readings[1].lab, [50.0, 0.0, 0.0], atol=0.02)
    assert found.flags == ()


def test_specular_chooses_between_two_spectra():
    both = [specification("in", INCLUDED), specification("ex", EXCLUDED)]
    values = {"a": [spectrum([0.24] * 31, "in"), spectrum([0.2] * 31, "ex")]}
    for specular, level in (("included", 0.24), ("excluded", 0.2)):
        found = read(values, both, specular)
        assert found.specular == specular
        np.testing.assert_allclose(found.readings[0].reflectance, level)
    assert "The object 'a'" in refusal(values, both)
    assert "has 2 spectra; say whether the specular is included" in refusal(values, both)
    alike = [specification("in"), specification("ex")]
    assert "has no spectra with the specular included" in refusal(values, alike, "included")


def test_among_several_lab_those_of_d50_and_2_degrees():
    kinds = [
        specification("far", illuminant="D65", observer="10_Degree"),
        specification("ours"),
    ]
    values = {"a": [lab((50.0, 1.0, 1.0), "far"), lab((51.0, 2.0, 2.0), "ours")]}
    found = read(values, kinds)
    np.testing.assert_allclose(found.readings[0].lab, [51.0, 2.0, 2.0])
    assert (found.illuminant, found.flags) == ("D50", ())
    found = read({"a": values["a"][:1]}, kinds)
    assert (found.illuminant, found.observer) == ("D65", "CIE 1964 10 degrees")
    assert [flag.name for flag in found.flags] == ["other_viewing"]


def test_a_spacing_that_is_not_stated_is_inferred():
    for step in (5, 10, 20):
        values = np.linspace(0.1, 0.7, 300 // step + 1)
        found = read({"a": [spectrum(values)]}, [specification("one", step=None)])
        np.testing.assert_allclose(found.readings[0].reflectance, np.linspace(0.1, 0.7, 31))
        assert [flag.name for flag in found.flags] == ["interval_inferred"]


def test_objects_without_colour_are_left_out_and_named():
    found = read({"a": [spectrum([0.5] * 31)], "paper": []})
    assert [each.name for each in found.readings] == ["a"]
    assert [sentence_of(flag) for flag in found.flags] == [
        "No usable reflectance or colour is given for paper; they were left out."
    ]


@pytest.mark.parametrize(
    ("values", "says"),
    [
        ([1.2] * 30 + [1.6], "has a reflectance of 1.6 (1 is a perfect white) at 700 nm"),
        ([0.5] * 10 + [-0.3] + [0.5] * 20, "has a reflectance of -0.3"),
        ([0.5] * 10 + [float("nan")] + [0.5] * 20, "something else where numbers are due"),
        ([0.5] * 12, "spectra from 400 to 510 nm"),
        ([], "something else where numbers are due"),
    ],
)
def test_values_that_cannot_be(values, says):
    assert says in refusal({"a": [spectrum(values)]})


def test_text_where_numbers_are_due():
    made = document({"a": [spectrum([0.5] * 31)]}, [specification("one")])
    with refused(MeasurementError, match=r"The object 'a' .* numbers are due"):
        cxf.read(made.replace(b"0.5 0.5 ", b"0.5 half "), "orchard.cxf")


def test_nothing_of_use():
    assert "holds no object with a reflectance spectrum" in refusal({"a": []})


def test_a_spectrum_that_does_not_say_where_it_begins():
    bare = [specification("one", step=None)]
    assert "where it begins (StartWL)" in refusal({"a": [spectrum([0.5] * 31, start=None)]}, bare)


def test_entities_are_refused():
    """A few lines of nested entities can swell to gigabytes; no CxF file declares any."""
    made = document({"a": [spectrum([0.5] * 31)]}, [specification("one")])
    head, body = made.split(b"?>", 1)
    for encoding in ("utf-8", "utf-16"):
        swollen = (
            (head + b'?><!DOCTYPE x [<!ENTITY a "b">]>' + body)
            .decode()
            .replace("UTF-8", encoding.upper())
        )
        with refused(MeasurementError, match="declares a document type"):
            cxf.read(swollen.encode(encoding), "orchard.cxf")


def test_text_files_are_read_without_loading_an_xml_library():
    """`refmatch --help` and CGATS.17 must not wait for it; it loads with the first CxF file."""
    program = (
        "import sys; import refmatch.paint.measured_box; "
        "print([each for each in ('colour_cxf', 'xsdata', 'colour') if each in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "[]"


def test_the_bands_are_read_where_they_stand():
    """A step of one band tells whether StartWL and Increment were believed."""
    step = np.where(WAVELENGTHS_NM < 550.0, 0.1, 0.6)
    found = read({"a": [spectrum(step)]})
    np.testing.assert_array_equal(found.readings[0].reflectance, step)


def test_lab_that_is_not_of_its_spectrum_is_flagged():
    """As where a file states the wrong start: a green read 20 nm off looks another green."""
    green = CHART["foliage"]
    right = lab(reflectance_to_lab(green))
    assert read({"leaf": [spectrum(green), right]}).flags == ()
    (flag,) = read({"leaf": [spectrum(np.roll(green, 2)), right]}).flags
    assert flag.name == "lab_disagrees"
    assert "The Lab of i1 differs by up to" in sentence_of(flag)


def test_oddities_of_no_concern_are_neither_refused_nor_remarked_on(caplog):
    """Stray text, a date that is none, and elements of later editions."""
    odd = SAMPLE.read_bytes()
    for right, wrong in (
        (b"</cc:GeometryChoice>", b"x</cc:GeometryChoice>"),
        (b"2007-06-14T", b"in June 2007, "),
        (b"</cc:ColorValues>", b"<cc:Later>1</cc:Later></cc:ColorValues>"),
    ):
        assert right in odd
        odd = odd.replace(right, wrong)
    found = cxf.read(odd, "orchard.cxf")
    assert len(found.readings) == 144
    assert caplog.records == []
