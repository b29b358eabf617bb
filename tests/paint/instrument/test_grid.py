"""Any instrument's wavelengths on the 31 bands, against colour-science and whole spectra."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab, xyz_to_lab
from refmatch.colorimetry.spectrum import WAVELENGTHS_NM
from refmatch.colorimetry.viewing import viewing
from refmatch.errors import MeasurementError
from refmatch.paint.instrument import grid as module
from refmatch.paint.instrument.grid import grid, sprague_weights
from refmatch.paint.instrument.reading import at_line
from refmatch.say.sentence import sentence_of
from tests.colorimetry.charts import PATCHES, colour, xyz_by_colour_science

CHART_5_NM = "ISO 17321-1"
"""Reflectances of the 24-patch chart from 380 to 780 nm by 5, ISO 17321-1:2012, annex D."""

PLACE = at_line(3, "swatches.txt")

ILLUMINANTS = ("D50", "D65", "A", "LED-B3")


def nm(first: float, last: float, step: float) -> np.ndarray:
    return np.arange(first, last + step / 2.0, step)


def whole_lab(spectrum, illuminant: str) -> np.ndarray:
    """Return Lab of a spectrum on all its wavelengths, summed nanometre by nanometre."""
    every = colour.SpectralShape(360, 780, 1)
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(every)
    light = colour.SDS_ILLUMINANTS[illuminant].copy().align(every)
    fine = spectrum.copy().interpolate(
        colour.SpectralShape(spectrum.shape.start, spectrum.shape.end, 1)
    )
    weights = observer.values * light.values[:, None]
    weights *= 100.0 / weights[:, 1].sum()
    reflectance = fine.extrapolate(every).values
    return xyz_to_lab(reflectance @ weights, weights.sum(axis=0))


def errors(illuminant: str, wavelengths: np.ndarray) -> np.ndarray:
    """Return dE00 of the 5 nm chart seen on some of its wavelengths, against the whole."""
    found = []
    for spectrum in colour.SDS_COLOURCHECKERS[CHART_5_NM].values():
        there = np.isin(spectrum.wavelengths, wavelengths)
        bands = grid(wavelengths, PLACE).bands(spectrum.values[there])
        ours = reflectance_to_lab(bands, viewing(illuminant))
        found.append(delta_e_00(ours, whole_lab(spectrum, illuminant)))
    return np.array(found)


def test_our_own_bands_pass_through_untouched():
    chance = np.random.default_rng(1)
    spectrum = chance.uniform(0.0, 1.0, 31)
    made = grid(WAVELENGTHS_NM, PLACE)
    np.testing.assert_array_equal(made.bands(spectrum), spectrum)
    assert made.flags == ()


@pytest.mark.parametrize("illuminant", ILLUMINANTS)
def test_folded_ends_give_the_lab_that_colour_science_gives_the_whole(illuminant):
    """The chart from 380 to 730 nm by 10, ASTM E308 on both sides: only the fold differs."""
    for spectrum in colour.SDS_COLOURCHECKERS[PATCHES].values():
        bands = grid(spectrum.wavelengths, PLACE).bands(spectrum.values)
        seen = viewing(illuminant)
        theirs = xyz_to_lab(xyz_by_colour_science(spectrum, illuminant), seen.white)
        assert delta_e_00(reflectance_to_lab(bands, seen), theirs) < 0.01


@pytest.mark.parametrize("illuminant", ["D50", "D65", "A"])
def test_folding_serves_better_than_cutting_off(illuminant):
    """White paint falls steeply about 400 nm (rutile; from memory), where the eye sees a little."""
    wide = nm(360, 780, 10)
    white = 0.9 / (1.0 + np.exp(-(wide - 402.0) / 6.0))
    seen, spectrum = viewing(illuminant), colour.SpectralDistribution(white, wide)
    theirs = xyz_to_lab(xyz_by_colour_science(spectrum, illuminant), seen.white)
    folded = reflectance_to_lab(grid(wide, PLACE).bands(white), seen)
    cut = reflectance_to_lab(white[4:35], seen)
    assert delta_e_00(folded, theirs) < 0.2 * delta_e_00(cut, theirs)


@pytest.mark.parametrize("illuminant", ILLUMINANTS)
@pytest.mark.parametrize(
    ("wavelengths", "mean", "most"),
    [
        (nm(380, 780, 5), 0.02, 0.1),
        (nm(380, 780, 10), 0.02, 0.1),
        (nm(400, 700, 10), 0.025, 0.1),
        (nm(380, 780, 20), 0.06, 0.2),
        (nm(400, 700, 20), 0.06, 0.2),
        (nm(420, 680, 10), 0.1, 0.6),
    ],
    ids=["5 nm", "10 nm", "10 nm from 400", "20 nm", "20 nm from 400", "10 nm from 420 to 680"],
)
def test_every_usual_grid_keeps_the_colour(illuminant, wavelengths, mean, most):
    found = errors(illuminant, wavelengths)
    assert found.mean() < mean
    assert found.max() < most


def test_an_end_that_was_not_reached_counts_as_the_last_value():
    """ASTM E308: the weights of wavelengths not measured are added to the end value's."""
    at_380 = np.eye(33)[0]
    w_360, w_370, w_380, w_390, w_400 = module.SHORT_END
    share = (w_360 + w_370 + w_380) / (w_360 + w_370 + w_380 + w_390 + w_400)
    assert grid(nm(380, 700, 10), PLACE).bands(at_380)[0] == pytest.approx(share)


def test_the_end_weights_are_those_of_e2022():
    from colour.colorimetry import tristimulus_weighting_factors_ASTME2022 as weights_of

    every = colour.SpectralShape(360, 780, 1)
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(every)
    light = colour.SDS_ILLUMINANTS["D50"].copy().align(every)
    sums = weights_of(observer, light, colour.SpectralShape(360, 780, 10)).sum(axis=1)
    np.testing.assert_allclose(module.SHORT_END, sums[:5], atol=1e-6)
    np.testing.assert_allclose(module.LONG_END, sums[-9:], atol=1e-6)


@pytest.mark.parametrize("count", [6, 7, 16, 22])
def test_sprague_is_colour_sciences(count):
    chance = np.random.default_rng(count)
    values = chance.uniform(0.0, 1.0, count)
    positions = np.linspace(0.0, count - 1.0, 57)
    theirs = colour.SpragueInterpolator(np.arange(count), values)(positions)
    np.testing.assert_allclose(values @ sprague_weights(positions, count), theirs, atol=1e-12)


def test_sprague_is_exact_for_a_quartic():
    """Its slopes at the knots are those of the quartic through five points (CIE 167:2005)."""
    knots, between = np.arange(8.0), np.linspace(2.0, 5.0, 31)
    quartic = np.polynomial.Polynomial([0.2, -0.3, 0.11, -0.02, 0.001])
    np.testing.assert_allclose(quartic(knots) @ sprague_weights(between, 8), quartic(between))


def test_a_steep_edge_never_swings_below_zero():
    wavelengths = nm(400, 700, 20)
    edge = np.where(wavelengths < 550, 0.005, 0.9)
    assert (edge @ grid(wavelengths, PLACE).to_tens).min() < 0.0
    assert grid(wavelengths, PLACE).bands(edge).min() > 0.0


def test_thirds_of_tens_rounded_by_the_instrument_are_even_enough():
    """Some instruments sample every 10/3 nm and write whole nanometres; common practice."""
    exact = 380.0 + np.arange(106) * 10.0 / 3.0
    flat = np.full(106, 0.4)
    np.testing.assert_allclose(grid(np.round(exact), PLACE).bands(flat), 0.4)


@pytest.mark.parametrize(
    ("first", "last", "step"),
    [
        (360, 780, 1),
        (380, 780, 5),
        (360, 700, 20),
        (395, 705, 10),
        (390, 730, 10 / 3),
        (300, 900, 2),
    ],
)
def test_a_grey_stays_grey_on_any_grid(first, last, step):
    wavelengths = np.linspace(first, last, round((last - first) / step) + 1)
    made = grid(wavelengths, PLACE)
    np.testing.assert_allclose(made.bands(np.full(len(wavelengths), 0.18)), 0.18)
    assert made.flags == ()


def test_short_spectra_are_extended_and_flagged():
    made = grid(nm(420, 680, 10), PLACE)
    bands = made.bands(np.linspace(0.2, 0.8, 27))
    assert bands[0] == bands[2] == 0.2
    assert bands[30] == bands[28] == 0.8
    (flag,) = made.flags
    assert flag.name == "ends_extended"
    assert "420 to 680 nm" in sentence_of(flag)


@pytest.mark.parametrize(
    ("wavelengths", "says"),
    [
        (nm(430, 700, 10), "from 430 to 700 nm; they must reach from 420 or less to 680 or more"),
        (nm(400, 670, 10), "from 400 to 670 nm"),
        (nm(400, 700, 25), "in steps of 25 nm; the widest of use is 20 nm"),
        (np.array([400.0, 410, 420, 431, 440, 450]), "not evenly spaced (see 431 nm)"),
        (np.delete(nm(380, 730, 10), 12), "not evenly spaced"),
        (np.array([500.0]), "fewer than two wavelengths"),
    ],
)
def test_what_cannot_be_brought_to_the_bands_is_refused(wavelengths, says):
    with pytest.raises(MeasurementError) as refused:
        grid(wavelengths, PLACE)
    assert sentence_of(refused.value).startswith("Line 3 of 'swatches.txt' has ")
    assert says in sentence_of(refused.value)
